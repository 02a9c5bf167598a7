// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/air.hpp"
#include "verdict/conditions.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;

namespace {

const std::vector<Band> bands = {band_at(BandWidth::octave, -4),
                                 band_at(BandWidth::octave, 3)}; // 63 Hz, 8 kHz
const std::vector<std::optional<double>> after_s = {0.6, 0.4};

VisitConditions air(double celsius, double percent) {
    VisitConditions visit;
    visit.celsius = celsius;
    visit.humidity_percent = percent;
    return visit;
}

} // namespace

TEST_CASE("drier air after is taken out of the decay after") {
    const auto result = weigh_conditions(air(20, 50), air(20, 30), bands, after_s);
    // Source: closed form. Decay rate of the energy 6 ln 10/T; the air takes c m of it.
    const auto rate_in = [](const Air& air) {
        return speed_of_sound(air) * air_attenuation_per_m(bands[1].exact_hz, air);
    };
    const double difference = rate_in({20, 30}) - rate_in({20, 50});
    const double rate = 6 * std::log(10.0) / 0.4;
    CHECK(result.correction[1] == doctest::Approx(std::log(rate / (rate - difference))));
    CHECK(result.correction[1] > 0.1);
    CHECK(std::abs(result.correction[0]) < 1e-3); // air does nothing in the bass
    CHECK(result.common_variance[1] == 0);
    CHECK(!result.blocked);
}

TEST_CASE("air that nobody recorded widens the treble, not the bass") {
    const auto result = weigh_conditions(air(20, 50), {}, bands, after_s);
    CHECK(std::sqrt(result.common_variance[1]) > 0.05);
    CHECK(std::sqrt(result.common_variance[0]) < 1e-3);
}

TEST_CASE("warmer air shifts the modes by the square root of the temperatures") {
    // Source: closed form. sqrt(296.65/294.15) − 1 = 0.42 %; that of nearly dry air.
    const auto result = weigh_conditions(air(21, 1), air(23.5, 1), bands, after_s);
    CHECK(result.mode_shift == doctest::Approx(std::sqrt(296.65 / 294.15) - 1).epsilon(0.01));
    CHECK(result.conditions[0].effect == "modes 0.4 % higher, corrected");
}

TEST_CASE("another temperature by more than 10 °C, other doors or persons block") {
    CHECK(weigh_conditions(air(15, 50), air(26, 50), bands, after_s).blocked);
    VisitConditions open = air(20, 50), closed = air(20, 50);
    open.doors_and_windows = "door open";
    closed.doors_and_windows = "all closed";
    CHECK(weigh_conditions(open, closed, bands, after_s).blocked);
    open.doors_and_windows = "";
    CHECK(!weigh_conditions(open, closed, bands, after_s).blocked); // not recorded is said, not guessed
}

TEST_CASE("a patch in another state blocks, with its name and both states, and where it is blank in one that "
          "is said") {
    VisitConditions before = air(20, 50), after = air(20, 50);
    before.patches = {{"door", "closed"}, {"curtain", "drawn"}, {"window", "shut"}};
    after.patches = {{"door", "open"}, {"window", "shut"}};
    const ConditionsResult result = weigh_conditions(before, after, bands, after_s);
    CHECK(result.blocked);
    const auto of = [&](const std::string& what) {
        const auto found = std::find_if(result.conditions.begin(), result.conditions.end(),
                                        [&](const Condition& one) { return one.what == what; });
        REQUIRE(found != result.conditions.end());
        return *found;
    };
    CHECK(of("door").kind == ConditionEffect::blocked);
    CHECK(of("door").before == "closed");
    CHECK(of("door").after == "open");
    CHECK(of("curtain").kind == ConditionEffect::none);
    CHECK(of("curtain").after == "not recorded");
    CHECK(of("curtain").effect == "not recorded in both visits: cannot be compared");
    CHECK(of("window").effect == "the same");
    after.patches = before.patches;
    CHECK_FALSE(weigh_conditions(before, after, bands, after_s).blocked);
}

TEST_CASE("the air alone moves modes with the speed of sound, and humidity belongs to it") {
    // Source: published. IEC 61094-2:2009 Table F.1 gives 345.86652 m/s at 23 °C, 50 %; a kelvin is about
    // half of 1/296 (ISO 9613-1: √T).
    CHECK(*speed_ratio(air(23, 50), air(24, 50)) == doctest::Approx(1 + 0.5 / 296.15).epsilon(2e-4));
    CHECK(*speed_ratio(air(23, 30), air(23, 70)) > 1.0005);
    CHECK(*speed_ratio(air(23, 50), air(23, 50)) == 1);
    CHECK(!speed_ratio(air(23, 50), {}));
}
