// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/average.hpp"
#include "decay/targets.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <stdexcept>

using namespace ebbmark;

namespace {

ResponseDecay position_with(double t20_s) {
    ResponseDecay response;
    BandDecay band;
    band.band = band_at(BandWidth::octave, 0);
    band.t20_s = t20_s > 0 ? Measured::of(t20_s) : Measured::none(Empty::noise);
    band.t30_s = Measured::none(Empty::length);
    for (int n = 0; t20_s > 0 && n <= 200; ++n)
        band.curve.push_back({t20_s * n / 200, -60.0 * n / 200});
    response.bands.push_back(band);
    return response;
}

} // namespace

TEST_CASE("positions are averaged arithmetically, with Student's interval and the spread") {
    // Source: closed form. 0.4, 0.5, 0.6 s: mean 0.5, standard deviation 0.1; of two degrees of freedom the
    // 95 % point is 0.95 √(2 / (1 − 0.95²)) = 4.30265.
    const auto average = average_over_positions({position_with(0.4), position_with(0.5), position_with(0.6)});
    REQUIRE(average.size() == 1);
    CHECK(*average[0].t20_s == relative(0.5));
    CHECK(*average[0].spread_percent == relative(20));
    CHECK(*average[0].t20_s.high == relative(0.5 * std::exp(4.302653 * 0.1 / std::sqrt(3.0) / 0.5)));
    CHECK(average[0].t20_positions == 3);
    CHECK_FALSE(average[0].t30_s);
    CHECK(average[0].t30_s.empty == Empty::length);
}

TEST_CASE("the ensemble-averaged curve decays slower than the mean of unequal decay times") {
    // Source: property. A mean of exponentials is convex in decibels; of equal ones it is the same.
    const auto equal = average_over_positions({position_with(0.5), position_with(0.5)});
    CHECK(*equal[0].ensemble_t20_s == relative(0.5).epsilon(1e-3));
    const auto unequal = average_over_positions({position_with(0.3), position_with(0.7)});
    CHECK(*unequal[0].ensemble_t20_s > 0.52);
    CHECK(*unequal[0].ensemble_t20_s < 0.7);
}

TEST_CASE("positions without the value are left out and counted") {
    const auto average = average_over_positions({position_with(0.4), position_with(-1)});
    CHECK(*average[0].t20_s == 0.4);
    CHECK(average[0].t20_positions == 1);
    CHECK_FALSE(average[0].spread_percent);
    const auto none = average_over_positions({position_with(-1)});
    CHECK(none[0].t20_s.empty == Empty::noise);
}

TEST_CASE("the mean at places is geometric, with the interval of measuring there again") {
    // Source: closed form: √(0.4 · 0.9) = 0.6; ± 1.959964 · 0.1/√2 of the logarithm.
    const std::vector<ResponseDecay> places = {position_with(0.4), position_with(0.9), position_with(-1)};
    const Measured mean = t20_at_places(places, 0, 0.1);
    CHECK(*mean == relative(0.6));
    CHECK(*mean.high == relative(0.6 * std::exp(1.959964 * 0.1 / std::sqrt(2.0))));
    CHECK(*mean.low == relative(0.36 / *mean.high));
    CHECK(t20_at_places({position_with(-1)}, 0, 0.1).empty == Empty::noise);
    ResponseDecay lower_rate; // has none of the bands
    CHECK(*t20_at_places({position_with(0.4), lower_rate}, 0, 0.1) == relative(0.4));
}

TEST_CASE("different bands cannot be averaged") {
    auto other = position_with(0.5);
    other.bands[0].band = band_at(BandWidth::octave, 1);
    CHECK_THROWS_AS(average_over_positions({position_with(0.5), other}), std::invalid_argument);
    CHECK_THROWS_AS(average_over_positions({}), std::invalid_argument);
}

TEST_CASE("target masks follow the room's volume") {
    // Source: closed form of the mask, which itself is from memory of the documents. V = 35, 60, 100 m³.
    CHECK(nominal_decay_s(Target::itu_bs_1116_3, 35) == relative(0.176).epsilon(3e-3));
    CHECK(nominal_decay_s(Target::itu_bs_1116_3, 60) == relative(0.211).epsilon(3e-3));
    CHECK(nominal_decay_s(Target::itu_bs_1116_3, 100) == relative(0.250));
    CHECK(nominal_decay_s(Target::ebu_tech_3276, 35) == relative(0.2));
    CHECK(nominal_decay_s(Target::ebu_tech_3276, 1000) == relative(0.4));
    const auto bass = target_limits(Target::itu_bs_1116_3, 100, 63);
    CHECK(bass->high_s == relative(0.55));
    CHECK(bass->low_s == relative(0.20));
    CHECK(target_limits(Target::itu_bs_1116_3, 100, 8000)->low_s == relative(0.15));
    CHECK_FALSE(target_limits(Target::itu_bs_1116_3, 100, 31.5));
    CHECK(target_named("EBU Tech 3276") == Target::ebu_tech_3276);
    CHECK_FALSE(target_named("another"));
}

TEST_CASE("a band is inside, above or below its target") {
    const auto judge = [](double t20_s) {
        return against_target(Target::itu_bs_1116_3, 100, average_over_positions({position_with(t20_s)}))
            .front()
            .finding;
    };
    CHECK(judge(0.25) == TargetFinding::inside);
    CHECK(judge(0.31) == TargetFinding::above);
    CHECK(judge(0.19) == TargetFinding::below);
    CHECK(judge(-1) == TargetFinding::no_value);
}
