// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/comparison.hpp"
#include "verdict/drift.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;

namespace {

/// Third octaves from 40 Hz on that moved by so much, each known to `error`.
UntouchedChange moved(const std::vector<double>& logs, double error) {
    UntouchedChange pair{"before", "before-2", {}};
    int index = -14;
    for (const double log : logs) {
        BandChange change;
        change.values.band = band_at(BandWidth::third, index++);
        change.here = MeanEstimate{log, error, 20};
        pair.changes.push_back(change);
    }
    return pair;
}

/// A mean over all bands, evenly.
QuestionChange mean_over(std::size_t bands) {
    QuestionChange change;
    for (std::size_t b = 0; b < bands; ++b) {
        change.bands.push_back(b);
        change.weights.push_back(1.0 / static_cast<double>(bands));
    }
    return change;
}

/// Six places whose bands, 40 to 4000 Hz, have this decay; no two places are the same.
std::vector<ResponseDecay> room(double t20_s) {
    std::vector<ResponseDecay> places(6);
    for (std::size_t place = 0; place < places.size(); ++place)
        for (const Band& band : bands_between(BandWidth::third, 40, 4000)) {
            BandDecay decay;
            decay.band = band;
            decay.t20_s =
                Measured::of(t20_s * (1 + 0.01 * std::sin(7.0 * static_cast<double>(place) + band.index)));
            places[place].bands.push_back(decay);
        }
    return places;
}

CompareOptions asked() {
    CompareOptions options;
    options.question = Question{"mean decay, 40 to 200 Hz", 40, 200, {}, "in the promise"};
    return options;
}

Comparison after_drift(double second_s, double after_s) {
    CompareOptions options = asked();
    auto pair = untouched_change(room(0.6), room(second_s), asked());
    pair->from = "before";
    pair->to = "before-2";
    options.untouched = {*pair};
    return compare(room(second_s), room(after_s), options);
}

} // namespace

TEST_CASE("what all bands move by is known from two visits with one degree of freedom") {
    // Closed form: the only square that there is.
    const std::vector<UntouchedChange> visits = {moved(std::vector<double>(8, 0.05), 1e-6)};
    const Spread band = drift_of_band(visits, band_at(BandWidth::third, -9));
    CHECK(band.variance == relative(0.0025));
    CHECK(band.degrees_of_freedom == relative(1));
    const Spread mean = drift_of_mean(visits, visits[0].changes, mean_over(8));
    CHECK(mean.variance == relative(0.0025));
    // Two pairs of visits, 3 and 4 %: the mean square, with two.
    const std::vector<UntouchedChange> more = {moved(std::vector<double>(8, 0.03), 1e-6),
                                               moved(std::vector<double>(8, -0.04), 1e-6)};
    CHECK(drift_of_band(more, band_at(BandWidth::third, -9)).variance == relative(0.00125));
    CHECK(drift_of_band(more, band_at(BandWidth::third, -9)).degrees_of_freedom == relative(2));
}

TEST_CASE("what each band moves by of its own is known with many, and averages out over the question") {
    // Closed form: half the mean squared difference of neighbours, 0.05² / 4, is the variance of this row.
    std::vector<double> logs;
    for (int i = 0; i < 21; ++i)
        logs.push_back((i % 4 == 1 || i % 4 == 2 ? 0.5 : -0.5) * 0.05);
    const std::vector<UntouchedChange> visits = {moved(logs, 1e-6)};
    const Spread band = drift_of_band(visits, band_at(BandWidth::third, -4));
    CHECK(band.variance == relative(0.05 * 0.05 / 4).epsilon(0.05));
    CHECK(band.degrees_of_freedom > 10);
    const Spread mean = drift_of_mean(visits, visits[0].changes, mean_over(21));
    CHECK(mean.variance < band.variance / 15);
}

TEST_CASE("visits that agree within what measuring again does add nothing") {
    const std::vector<UntouchedChange> visits = {moved({0.01, -0.02, 0.015, -0.01, 0.02, -0.015}, 0.05)};
    CHECK(drift_of_band(visits, band_at(BandWidth::third, -12)).variance == 0);
    CHECK(drift_of_mean(visits, visits[0].changes, mean_over(6)).variance == 0);
    const MeanEstimate same = with_drift({-0.3, 0.02, 9}, {});
    CHECK(same.standard_error == 0.02);
    CHECK(same.degrees_of_freedom == 9);
}

TEST_CASE("an estimate with drift has the degrees of freedom of Welch and Satterthwaite") {
    // Closed form (JCGM 100:2008, G.4.1): equal variances of one and of infinitely many, together four.
    const MeanEstimate sum = with_drift({-0.3, 0.03, INFINITY}, {0.0009, 1});
    CHECK(sum.mean == -0.3);
    CHECK(sum.standard_error == relative(0.03 * std::sqrt(2.0)));
    CHECK(sum.degrees_of_freedom == relative(4));
}

TEST_CASE("a room that moved by 5 % without traps is not called changed for moving by 5 % again") {
    const Comparison blind = compare(room(0.63), room(0.66), asked());
    CHECK(blind.question->finding == Finding::longer);
    const Comparison seen = after_drift(0.63, 0.66);
    CHECK(seen.question->finding == Finding::no_change_shown);
    for (const BandFinding& band : seen.bands)
        CHECK(band.finding == Finding::no_change_shown);
    CHECK(*seen.question->change_percent == relative(*blind.question->change_percent));
    REQUIRE(seen.drift.size() == 1);
    CHECK(*seen.drift[0].change_percent == relative(5).epsilon(0.02));
    const auto told = std::find_if(seen.conditions.begin(), seen.conditions.end(), [](const auto& condition) {
        return condition.what == "visits before the build";
    });
    REQUIRE(told != seen.conditions.end());
    CHECK(told->before == "before");
    CHECK(told->after == "before-2");
}

TEST_CASE("a halved decay is shown all the same") {
    CHECK(after_drift(0.61, 0.3).question->finding == Finding::shorter);
}

TEST_CASE("a single mode carries the drift of the band it lies in") {
    ModePair mode;
    mode.before_hz = 63;
    mode.after_hz = 63;
    mode.before_t60_s = Measured::of(0.6);
    mode.after_t60_s = Measured::of(0.54);
    mode.change = MeanEstimate{std::log(0.9), 0.01, 20};
    CompareOptions options = asked();
    options.modes = {mode};
    CHECK(compare(room(0.6), room(0.6), options).modes[0].finding == Finding::shorter);
    options.untouched = {*untouched_change(room(0.6), room(0.66), asked())};
    CHECK(compare(room(0.6), room(0.6), options).modes[0].finding == Finding::no_change_shown);
}

TEST_CASE("visits under other conditions tell nothing of the drift") {
    CompareOptions options = asked();
    options.before_conditions.emplace();
    options.before_conditions->furniture = "sofa";
    options.after_conditions.emplace();
    options.after_conditions->furniture = "empty";
    CHECK(!untouched_change(room(0.6), room(0.6), options));
}
