// SPDX-License-Identifier: GPL-3.0-or-later
// What the demo counts. The whole of it runs in tests/cli.
#include "work/demo_day.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("the demo counts the room's own decay as inside only between both ends") {
    BandDecay band;
    band.band = bands_between(BandWidth::third, 63, 63).front();
    band.t20_s = {0.64, 0.55, 0.76, {}};
    std::vector<TruthRow> truth;
    add_to(truth, "before", band, 0.55);
    add_to(truth, "before", band, 0.77);
    add_to(truth, "before", band, 0.54);
    band.t20_s = Measured::none(Empty::noise);
    add_to(truth, "before", band, 0.6);
    add_to(truth, "after", band, 0.6);
    REQUIRE(truth.size() == 2);
    CHECK(truth[0].inside == 1);
    CHECK(truth[0].given == 3);
    CHECK(truth[0].empty == 1);
    CHECK(truth[0].measured_s == doctest::Approx(1.92));
    CHECK(truth[0].true_s == doctest::Approx(1.86));
    CHECK(truth[1].visit == "after");
    CHECK(truth[1].given == 0);
}
