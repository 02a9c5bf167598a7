// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/clarity_change.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

ResponseDecay response(double edt_s, double c80_db) {
    BandDecay band;
    band.band = band_at(BandWidth::octave, 0);
    band.edt_s = Measured::of(edt_s);
    band.c80_db = Measured::of(c80_db);
    band.c50_db = band.d50_percent = band.ts_ms = Measured::none(Empty::noise);
    return {0, {band}};
}

} // namespace

TEST_CASE("clarity changes by differences, EDT by ratios, each over its positions") {
    const auto changes =
        clarity_changes({response(0.8, 3), response(0.6, 5)}, {response(0.4, 6), response(0.3, 9)});
    REQUIRE(changes.size() == 2); // measures without a value in both states are not there
    CHECK(changes[0].measure == "edt_s");
    CHECK(*changes[0].change == doctest::Approx(-50));
    CHECK(*changes[0].change.low == doctest::Approx(-50)); // both positions halved exactly
    CHECK(changes[1].before == doctest::Approx(4));
    CHECK(changes[1].after == doctest::Approx(7.5));
    // Source: closed form. Differences 3 and 4: mean 3.5, standard error 0.5, t(1) = 12.706.
    CHECK(*changes[1].change.high == doctest::Approx(3.5 + 12.706 * 0.5).epsilon(1e-4));
}

TEST_CASE("one position gives no interval") {
    const auto changes = clarity_changes({response(0.8, 3)}, {response(0.4, 6)});
    CHECK(*changes[1].change == doctest::Approx(3));
    CHECK(!changes[1].change.low);
}
