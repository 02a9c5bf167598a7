// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/takes.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

ResponseDecay take(Measured t20_s, std::vector<DecayNote> notes = {}) {
    BandDecay band;
    band.band = band_at(BandWidth::third, -9);
    band.t20_s = t20_s;
    band.notes = std::move(notes);
    return {0.1, {band}};
}

} // namespace

TEST_CASE("takes of one position are averaged, none is picked") {
    // Source: closed form. Arithmetic mean.
    const auto mean = mean_of_takes({take({0.5, 0.4, 0.7, {}}), take({0.6, 0.5, 0.8, {}})});
    CHECK(*mean.bands[0].t20_s == relative(0.55));
    CHECK(*mean.bands[0].t20_s.low == relative(0.45));
    CHECK(*mean.bands[0].t20_s.high == relative(0.75));
}

TEST_CASE("a take without the value does not empty the others, and reasons stay where all are empty") {
    const auto noise = Measured::none(Empty::noise);
    CHECK(*mean_of_takes({take(noise), take(Measured::of(0.6))}).bands[0].t20_s == relative(0.6));
    CHECK(mean_of_takes({take(noise), take(noise)}).bands[0].t20_s.empty == Empty::noise);
}

TEST_CASE("one take stays as it is and notes are not said twice") {
    CHECK(*mean_of_takes({take(Measured::of(0.6))}).bands[0].t20_s == 0.6);
    const DecayNote cut = EndsBeforeNoise{}, tone = SteadyTone{};
    const auto mean = mean_of_takes({take(Measured::of(0.6), {cut}), take(Measured::of(0.6), {tone, cut})});
    CHECK(mean.bands[0].notes == std::vector{cut, tone});
}
