// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/band_values.hpp"
#include "verdict/bass_response.hpp"
#include "verdict/promise_answer.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

PromisedMean promised(double log, double half) {
    PromisedMean mean;
    mean.bands = bands_between(BandWidth::third, 40, 200);
    mean.weight = 1;
    mean.log = log;
    mean.low = log - half;
    mean.high = log + half;
    return mean;
}

QuestionChange measured(double log, double deviation) {
    QuestionChange change;
    change.here = change.after = MeanEstimate{log, deviation, INFINITY};
    change.bands.resize(8);
    return change;
}

BandValues pairs_of(const std::vector<double>& before, const std::vector<double>& after) {
    BandValues values;
    for (std::size_t i = 0; i < before.size(); ++i)
        values.pairs.push_back({i, {before[i], {}, 0.01, {}}, {after[i], {}, 0.03, {}}});
    return values;
}

} // namespace

TEST_CASE("what came is as promised, less or more by the normalised error of both intervals") {
    // Source: ISO/IEC 17043:2010, B.3.1.3 e (from memory). U of 0.02 and of 0.08/1.96: together 0.0909.
    const PromisedMean by_40 = promised(std::log(0.6), 0.08);
    CHECK(answer_promise(by_40, measured(std::log(0.6) + 0.089, 0.02)).came ==
          AgainstPrediction::as_predicted);
    CHECK(answer_promise(by_40, measured(std::log(0.6) + 0.093, 0.02)).came ==
          AgainstPrediction::less_than_predicted);
    CHECK(answer_promise(by_40, measured(std::log(0.6) - 0.093, 0.02)).came ==
          AgainstPrediction::more_than_predicted);
    CHECK(answer_promise(promised(-0.05, 0.08), measured(0, 0.02)).came == AgainstPrediction::cannot_tell);
}

TEST_CASE("the shortening below which less is told has four chances in five of being told") {
    // Source: closed form of the normal distribution: the change that is told lies beyond U of both, and a
    // measurement of deviation s lies beyond that in 80 % where the truth is 0.8416 s farther.
    const PromiseAnswer answer = answer_promise(promised(std::log(0.6), 0.08), measured(std::log(0.6), 0.02));
    const double apart = std::hypot(2 * 0.02, 0.08 * 2 / 1.959964) + 0.8416 * 0.02;
    CHECK(*answer.told_below_percent == relative(100 * (1 - 0.6 * std::exp(apart))).epsilon(2e-3));
    CHECK_FALSE(answer_promise(promised(-0.05, 0.08), measured(-0.05, 0.02)).told_below_percent);
}

TEST_CASE("a measurement over other bands than were promised is no answer") {
    QuestionChange other = measured(-0.5, 0.02);
    other.bands.pop_back();
    CHECK_FALSE(answer_promise(promised(-0.5, 0.08), other).came_percent);
    CHECK(answer_promise(promised(-0.5, 0.08), other).came == AgainstPrediction::cannot_tell);
}

TEST_CASE("places are the same in whatever order they are named, and not where one is missing") {
    CHECK(same_places("S1-M1 S2-M1", {"S2-M1", "S1-M1"}));
    CHECK_FALSE(same_places("S1-M1", {"S2-M1", "S1-M1"}));
    CHECK_FALSE(same_places("S1-M1 S2-M1 S1-M2", {"S2-M1", "S1-M1"}));
}

TEST_CASE("places that are alike count as one, at the mean of their values and no surer than one") {
    BandValues values = pairs_of({0.0, 0.2, 0.5}, {-1.0, -0.6, -0.5});
    join_alike(values, {0, 1, 0}, {});
    REQUIRE(values.pairs.size() == 2);
    CHECK(values.pairs[0].position == 0);
    CHECK(values.pairs[0].also == std::vector<std::size_t>{2});
    CHECK(*values.pairs[0].before.log_s == relative(0.25));
    CHECK(*values.pairs[0].after.log_s == relative(-0.75));
    CHECK(values.pairs[0].before.fit_variance == relative(0.01));
    BandValues listened = pairs_of({0.0, 0.2, 0.5}, {-1.0, -0.6, -0.5});
    join_alike(listened, {0, 1, 0}, {false, false, true});
    CHECK(listened.pairs[0].position == 2); // where somebody listens, and of that place alone
    CHECK(listened.pairs[0].also.empty());
    CHECK(*listened.pairs[0].before.log_s == relative(0.5));
}

TEST_CASE("a place whose decay is hidden by the filter makes a bound of those it is alike with") {
    BandValues values = pairs_of({0.0, 0.2}, {-1.0, -0.6});
    values.pairs[1].after = {{}, -0.4, 0.03, {}};
    join_alike(values, {0, 0}, {});
    REQUIRE(values.pairs.size() == 1);
    CHECK_FALSE(values.pairs[0].after.log_s);
    CHECK(*values.pairs[0].after.log_bound == relative(-0.7));
}

TEST_CASE("places are alike in the bass where their levels differ by 1 dB at most, whatever the gain") {
    std::vector<double> one, other, beyond;
    for (int f = 0; f < 80; ++f) {
        const double level_db = 10 * std::sin(0.3 * f);
        one.push_back(std::pow(10, level_db / 10));
        other.push_back(std::pow(10, (level_db + 6 + (f % 2 ? 0.99 : -0.99)) / 10));
        beyond.push_back(std::pow(10, (level_db + (f % 2 ? 1.01 : -1.01)) / 10));
    }
    CHECK(alike_in_bass(one, other));
    CHECK_FALSE(alike_in_bass(one, beyond));
}
