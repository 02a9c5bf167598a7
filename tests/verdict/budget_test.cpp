// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/budget.hpp"
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

double factor(int place, int third, double scatter, double state) {
    return 1 + scatter * std::sin(5.0 * place + third * place + state * place * place);
}

/// Four places, bands from 40 to 200 Hz; their values scatter by `scatter`, in each state otherwise.
std::vector<ResponseDecay> places(double t20_s, double scatter, double state = 0) {
    std::vector<ResponseDecay> list;
    for (int place = 0; place < 4; ++place) {
        ResponseDecay response;
        for (int third = -14; third <= -7; ++third)
            response.bands.push_back(with_t20(third, t20_s * factor(place, third, scatter, state)));
        list.push_back(response);
    }
    return list;
}

CompareOptions asked() {
    CompareOptions options;
    options.question = Question{"mean decay, 40 to 200 Hz", 40, 200, {}, "in the promise"};
    options.before_conditions.emplace(); // air not recorded
    options.after_conditions.emplace();
    return options;
}

double square_of(const UncertaintyBudget& budget) {
    double sum = 0;
    for (const UncertaintyPart& part : budget.parts)
        sum += part.deviation * part.deviation;
    return sum;
}

double part(const UncertaintyBudget& budget, UncertaintySource source) {
    for (const UncertaintyPart& one : budget.parts)
        if (one.source == source)
            return one.deviation;
    return 0;
}

} // namespace

TEST_CASE("the squares of the parts are that of the whole, and the whole gives the interval printed") {
    const Comparison found = compare(places(0.8, 0.6), places(0.5, 0.65, 1), asked());
    const auto& budget = found.question->budget;
    REQUIRE(budget);
    const double whole = budget->total.standard_error;
    CHECK(square_of(*budget) == relative(whole * whole));
    const Measured& change = found.question->change_percent;
    const double half = std::log((100 + *change.high) / (100 + *change.low)) / 2;
    CHECK(budget->coverage_factor() * whole == relative(half));
    CHECK(part(*budget, UncertaintySource::places) > 0);
    CHECK(part(*budget, UncertaintySource::returns) == 0);
    CHECK(part(*budget, UncertaintySource::air) > 0);
    CHECK(part(*budget, UncertaintySource::drift) == 0);
}

TEST_CASE("the fits' part is ISO 3382-2's, where the places scatter by more") {
    // Closed form (ISO 3382-2:2008 clause 7): the variance of ln T20 of one decay is 0.88² 1.19/(B T); two
    // states, four places, weights by bandwidth.
    const Comparison found = compare(places(0.8, 0.6), places(0.5, 0.65, 1), asked());
    double sum = 0, bandwidths = 0;
    for (int third = -14; third <= -7; ++third)
        bandwidths += band_at(BandWidth::third, third).bandwidth_hz();
    for (int third = -14; third <= -7; ++third) {
        const double bandwidth = band_at(BandWidth::third, third).bandwidth_hz();
        const auto mean = [&](double t20_s, double scatter, double state) {
            double log = 0;
            for (int place = 0; place < 4; ++place)
                log += std::log(factor(place, third, scatter, state)) / 4;
            return t20_s * std::exp(log);
        };
        const double variance =
            0.88 * 0.88 * 1.19 / bandwidth * (1 / mean(0.8, 0.6, 0) + 1 / mean(0.5, 0.65, 1)) / 4;
        sum += std::pow(bandwidth / bandwidths, 2) * variance;
    }
    REQUIRE(found.question->budget);
    CHECK(part(*found.question->budget, UncertaintySource::fits) == relative(std::sqrt(sum)).epsilon(0.02));
}

TEST_CASE("a return takes the place of the scatter, and a second visit before the build adds the drift") {
    CompareOptions options = asked();
    options.returns = {{places(0.8, 0.1)[0], places(0.84, 0.1)[0]},
                       {places(0.5, 0.1)[0], places(0.47, 0.1)[0]}};
    options.untouched = {*untouched_change(places(0.8, 0.1), places(0.88, 0.1), asked())};
    const Comparison found = compare(places(0.88, 0.1), places(0.5, 0.12), options);
    const auto& budget = found.question->budget;
    REQUIRE(budget);
    CHECK(part(*budget, UncertaintySource::places) == 0);
    CHECK(part(*budget, UncertaintySource::drift) == relative(std::log(1.1)).epsilon(0.05));
    CHECK(square_of(*budget) == relative(std::pow(budget->total.standard_error, 2)));
}

TEST_CASE("states that are not paired, and modes, have no budget") {
    CompareOptions options = asked();
    options.paired = false;
    CHECK(!compare(places(0.8, 0.1), places(0.5, 0.12), options).question->budget);
    options = asked();
    options.question->modes_hz = {63};
    CHECK(!compare(places(0.8, 0.1), places(0.5, 0.12), options).question->budget);
}
