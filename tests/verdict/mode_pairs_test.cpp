// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/mode_pairs.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

MeasuredMode mode_at(double hz, double t60_s, double deviation = 0.02) {
    MeasuredMode mode;
    mode.hz = Measured::of(hz);
    mode.hz_deviation = 0.01;
    mode.t60_s = Measured::of(t60_s);
    mode.t60_deviation = deviation;
    mode.amplitude = {1, 2, 3};
    return mode;
}

Ringing ringing(std::vector<MeasuredMode> modes) {
    Ringing made;
    made.positions = 3;
    made.modes = std::move(modes);
    return made;
}

/// One mode whose decay in the leave-outs is its own times e^value; nothing: not found there.
ResampledRinging state(double t60_s, const std::vector<std::optional<double>>& leave_outs,
                       double deviation = 0.02) {
    ResampledRinging made{ringing({mode_at(40, t60_s, deviation)}), {}, 3, nullptr, {}};
    for (const auto& value : leave_outs)
        made.without.push_back(value ? ringing({mode_at(40, t60_s * std::exp(*value))}) : ringing({}));
    return made;
}

ModePair only(const ResampledRinging& before, const ResampledRinging& after, PairedPlaces places) {
    return mode_pairs(before, after, {{{0}, {0}, 1}}, places).front();
}

} // namespace

TEST_CASE("paired, lost and new modes all reach the comparison or its notes") {
    const ResampledRinging before{ringing({mode_at(40, 0.8), mode_at(55, 0.6)}), {}, 1, nullptr, {}},
        after{ringing({mode_at(39.8, 0.4), mode_at(70, 0.3)}), {}, 1, nullptr, {}};
    const std::vector<PairedMode> pairs = {{{0}, {0}, 0.97}, {{1}, {}, 0}, {{}, {1}, 0}};
    const auto modes = mode_pairs(before, after, pairs, PairedPlaces::same);
    REQUIRE(modes.size() == 2);
    CHECK(modes[0].before_hz == 40);
    CHECK(*modes[0].after_hz == 39.8);
    CHECK(modes[0].pairing == 0.97);
    CHECK(!modes[1].after_hz);
    CHECK(modes[1].after_t60_s.empty == Empty::overlap);
    CHECK(new_modes(pairs) == std::vector<std::size_t>{1});
}

TEST_CASE("a mode that is not found after is not measurable: no neighbour bounds it") {
    const ResampledRinging before{ringing({mode_at(40, 1.2)}), {}, 1, nullptr, {}},
        after{ringing({mode_at(41, 0.1)}), {}, 1, nullptr, {}};
    const ModePair mode = mode_pairs(before, after, {{{0}, {}, 0}}, PairedPlaces::same).front();
    CHECK(!mode.change);
    CHECK(!mode.after_t60_at_most_s);
    CHECK(!tested(mode));
}

TEST_CASE("at the same places the jackknife of the differences gives the variance") {
    // What both states share cancels; the differences are ±0.1, ±0.1, 0.
    const ModePair mode = only(state(0.8, {0.3, 0.1, -0.2, 0.4, 0.0}), state(0.4, {0.4, 0.0, -0.1, 0.3, 0.0}),
                               PairedPlaces::same);
    // Source: closed form, (G − 1)/G Σ (x − x̄)² with G = 5, and 1 % in each state.
    CHECK(mode.change->mean == relative(std::log(0.5)));
    CHECK(mode.change->standard_error == relative(std::sqrt(0.8 * 0.04 + 2 * 1e-4)));
    CHECK(mode.change->degrees_of_freedom == 12);
}

TEST_CASE("at other places each state's jackknife counts, not less than the fit states") {
    const ModePair mode =
        only(state(0.8, {0.1, -0.1, 0.1, -0.1}), state(0.4, {0, 0, 0, 0}, 0.05), PairedPlaces::different);
    // Source: closed form, 3/4 · 0.04 = 0.03 before, 0.05² = 0.0025 after.
    CHECK(mode.change->standard_error == relative(std::sqrt(0.03 + 0.0025 + 2e-4)));
}

TEST_CASE("a mode that comes and goes with single positions is not measurable") {
    const ModePair kept = only(state(0.8, {0.0, 0.1, 0.0, -0.1, 0.0}), state(0.4, {0.0, {}, 0.0, 0.1, 0.0}),
                               PairedPlaces::same);
    CHECK(kept.change);
    const ModePair lost =
        only(state(0.8, {0.0, 0.1, 0.0, -0.1, 0.0}), state(0.4, {0.0, {}, {}, 0.1, 0.0}), PairedPlaces::same);
    CHECK(!lost.change);
    CHECK(lost.notes == std::vector<VerdictNote>{ComesAndGoes{}});
}

TEST_CASE("a group is judged by the mean of its decays, whoever is who") {
    const ResampledRinging before{ringing({mode_at(66.0, 0.8), mode_at(66.2, 0.5)}), {}, 1, nullptr, {}},
        after{ringing({mode_at(66.0, 0.5), mode_at(66.2, 0.8)}), {}, 1, nullptr, {}};
    const ModePair mode = mode_pairs(before, after, {{{0, 1}, {0, 1}, 0}}, PairedPlaces::different).front();
    CHECK(mode.members == 2);
    CHECK(mode.change->mean == doctest::Approx(0));
    CHECK(*mode.before_t60_s == relative(std::sqrt(0.4)));
}

TEST_CASE("a return that moves the decays widens every change") {
    ResampledRinging before = state(0.8, {0, 0, 0, 0, 0}), after = state(0.4, {0, 0, 0, 0, 0});
    const double without = only(before, after, PairedPlaces::same).change->standard_error;
    before.returned = {ringing({mode_at(40, 0.8 * std::exp(0.1))})};
    // Source: closed form, 3 places, 0.1² over the median of chi-square(1), halved; in both states.
    const double floor = 3 * 0.01 / 0.4549 / 2;
    CHECK(only(before, after, PairedPlaces::same).change->standard_error ==
          relative(std::sqrt(without * without - 2e-4 + 2 * floor)).epsilon(1e-3));
}

TEST_CASE("what a return moves is taken from the better known half of the modes") {
    ResampledRinging before{ringing({mode_at(40, 0.8, 0.001), mode_at(60, 0.8, 0.2)}), {}, 3, nullptr, {}},
        after = state(0.4, {0, 0, 0, 0, 0}, 0.001);
    before.without.assign(5, before.whole);
    const std::vector<PairedMode> pairs = {{{0}, {0}, 1}};
    before.returned = {ringing({mode_at(40, 0.8), mode_at(60, 1.6)})};
    const double stable = mode_pairs(before, after, pairs, PairedPlaces::same).front().change->standard_error;
    // Source: closed form, a quarter of both fits' variance and 1 % in each state; the other mode's return
    // would make it many times as much.
    CHECK(stable == relative(std::sqrt(0.25 * 2e-6 + 2e-4)));
}
