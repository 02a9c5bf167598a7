// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/comparison.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

BandDecay with_t20(int third, double t20_s) {
    BandDecay band;
    band.band = band_at(BandWidth::third, third);
    band.t20_s = Measured::of(t20_s);
    return band;
}

std::vector<ResponseDecay> responses(int third, const std::vector<double>& t20_s) {
    std::vector<ResponseDecay> list;
    for (const double value : t20_s)
        list.push_back({0, {with_t20(third, value)}, {}});
    return list;
}

BandFinding single(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   bool paired = true) {
    CompareOptions options;
    options.paired = paired;
    return compare(before, after, options).bands.at(0);
}

} // namespace

TEST_CASE("six positions of a worked example") {
    // Source: closed form. Ratios of these six pairs: mean of logs, t distribution with 5 degrees of freedom.
    const auto found = single(responses(-9, {0.82, 0.77, 0.91, 0.80, 0.86, 0.79}),
                              responses(-9, {0.58, 0.55, 0.66, 0.60, 0.57, 0.56}));
    CHECK(found.positions == 6);
    CHECK(*found.change_percent == doctest::Approx(100 * (0.71094 - 1)).epsilon(1e-4));
    CHECK(*found.change_percent.low == doctest::Approx(100 * (0.68130 - 1)).epsilon(1e-4));
    CHECK(*found.change_percent.high == doctest::Approx(100 * (0.74187 - 1)).epsilon(1e-4));
    CHECK(found.finding == Finding::shorter);
    CHECK(*found.after_s / *found.before_s == doctest::Approx(0.71094).epsilon(1e-4));
}

TEST_CASE("exchanging the states turns shorter into longer and the ratio into its inverse") {
    const auto a = responses(-9, {0.82, 0.77, 0.91}), b = responses(-9, {0.40, 0.41, 0.44});
    const auto down = single(a, b), up = single(b, a);
    CHECK(down.finding == Finding::shorter);
    CHECK(up.finding == Finding::longer);
    CHECK((1 + *down.change_percent / 100) * (1 + *up.change_percent / 100) == doctest::Approx(1));
}

TEST_CASE("scattered positions show no change, close ones show that nothing changed") {
    CHECK(single(responses(0, {0.5, 0.6, 0.4}), responses(0, {0.6, 0.4, 0.5})).finding ==
          Finding::no_change_shown);
    const auto same = single(responses(0, {0.5, 0.6, 0.4}), responses(0, {0.501, 0.599, 0.4005}));
    CHECK(same.finding == Finding::shown_unchanged);
    CHECK(*same.could_show_percent < 5);
}

TEST_CASE("one pair gives a change without interval or finding") {
    const auto found = single(responses(0, {0.5}), responses(0, {0.3}));
    CHECK(*found.change_percent == doctest::Approx(-40));
    CHECK(!found.change_percent.low);
    CHECK(found.finding == Finding::not_measurable);
    CHECK(found.notes.size() == 1);
}

TEST_CASE("values that could not be measured stay out, with the reason") {
    auto before = responses(-14, {0.9, 0.8, 0.85}), after = responses(-14, {0.5, 0.45, 0.5});
    after[1].bands[0].t20_s = Measured::none(Empty::noise);
    CHECK(single(before, after).positions == 2);
    for (auto& response : after)
        response.bands[0].t20_s = Measured::none(Empty::noise);
    const auto nothing = single(before, after);
    CHECK(nothing.finding == Finding::not_measurable);
    CHECK(nothing.change_percent.empty == Empty::noise);
}

TEST_CASE("decays below the filter limit appear as a bound, never as no effect") {
    auto before = responses(-14, {0.9, 0.8, 0.85}), after = responses(-14, {0.5, 0.45, 0.5});
    for (auto& response : after) {
        response.bands[0].t20_s = Measured::none(Empty::filter);
        response.bands[0].at_most_s = 0.435;
    }
    const auto all = single(before, after);
    CHECK(*all.after_at_most_s == doctest::Approx(0.435));
    CHECK(all.change_percent.empty == Empty::filter);
    REQUIRE(all.notes.size() == 1);
    CHECK(all.notes[0].find("at least 49 % shorter") != std::string::npos);
    after[0].bands[0].t20_s = Measured::of(0.5);
    after[2].bands[0].t20_s = Measured::of(0.5);
    CHECK(single(before, after).notes.at(0).find("understated") != std::string::npos);
}

TEST_CASE("unpaired states use Welch's test on the logarithms") {
    const auto found = single(responses(0, {0.50, 0.52, 0.51}), responses(0, {0.30, 0.31}), false);
    CHECK(found.positions == 2);
    CHECK(found.finding == Finding::shorter);
    CHECK(*found.change_percent ==
          doctest::Approx(100 * (std::sqrt(0.30 * 0.31) / std::cbrt(0.50 * 0.52 * 0.51) - 1)));
}

TEST_CASE("many bands share the chance of a false finding") {
    // One band alone: t = 4.9 with 2 degrees of freedom, p = 0.039. Among eight it is not enough.
    const std::vector<double> before = {0.50, 0.50, 0.50}, after = {0.45, 0.42, 0.40};
    CHECK(single(responses(0, before), responses(0, after)).finding == Finding::shorter);
    std::vector<ResponseDecay> first(3), second(3);
    for (std::size_t i = 0; i < 3; ++i)
        for (int third = 0; third < 8; ++third) {
            const bool changed = third == 0;
            first[i].bands.push_back(with_t20(third, before[i]));
            second[i].bands.push_back(
                with_t20(third, changed ? after[i] : before[i] * (1 + 0.1 * (static_cast<int>(i) - 1))));
        }
    CHECK(compare(first, second, {}).bands[0].finding == Finding::no_change_shown);
}
