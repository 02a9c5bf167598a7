// SPDX-License-Identifier: GPL-3.0-or-later
#include "modal_scene.hpp"
#include "relative.hpp"
#include "ringing/pairing.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

using Indices = std::vector<std::size_t>;

MeasuredMode mode(double hz, double t60_s, std::vector<std::complex<double>> amplitude) {
    MeasuredMode made;
    made.hz = Measured::of(hz);
    made.t60_s = {t60_s, t60_s * std::exp(-1.96 * 0.02), t60_s * std::exp(1.96 * 0.02), {}};
    made.hz_deviation = 0.01;
    made.t60_deviation = 0.02;
    made.amplitude = std::move(amplitude);
    return made;
}

Ringing room(std::vector<MeasuredMode> modes) {
    Ringing made;
    made.positions = modes[0].amplitude.size();
    made.modes = std::move(modes);
    return made;
}

} // namespace

TEST_CASE("a mode that moved and was damped is found again") {
    const auto pairs =
        pair_modes(room({mode(42, 0.8, {1, -2, 0.5})}), room({mode(41.6, 0.4, {0.9, -2.1, 0.4})}));
    REQUIRE(pairs.size() == 1);
    CHECK(pairs[0].after == Indices{0});
    CHECK(pairs[0].assurance > 0.98);
}

TEST_CASE("shape decides where frequencies have crossed") {
    const auto before = room({mode(50, 0.6, {1, 0, 0.1}), mode(51, 0.6, {0, 1, 0.2})});
    const auto after = room({mode(50.3, 0.4, {0, 1, 0.15}), mode(50.6, 0.4, {1, 0.05, 0.1})});
    const auto pairs = pair_modes(before, after);
    CHECK(pairs[0].after == Indices{1});
    CHECK(pairs[1].after == Indices{0});
}

TEST_CASE("warmer air moves all modes up and is taken into account") {
    // Source: closed form, +10 °C: √(303.15/293.15) = 1.01691.
    const auto before = room({mode(60, 1.2, {1, 2, 3}), mode(61, 1.2, {1, 2, 3})});
    const auto after = room({mode(61.02, 1.2, {1, 2, 3}), mode(62.03, 1.2, {1, 2, 3})});
    PairingOptions options;
    options.speed_ratio = 1.01691;
    const auto pairs = pair_modes(before, after, options);
    CHECK(pairs[0].after == Indices{0});
    CHECK(pairs[1].after == Indices{1});
}

TEST_CASE("a mode that is not found after stays, without a partner, a new one is new") {
    const auto before = room({mode(42, 0.8, {1, -2, 0.5}), mode(80, 0.6, {1, 1, 1})});
    const auto after = room({mode(41.8, 0.4, {1, -2, 0.5}), mode(120, 0.3, {1, 0, 0})});
    const auto pairs = pair_modes(before, after);
    REQUIRE(pairs.size() == 3);
    CHECK(pairs[1].before == Indices{1});
    CHECK(pairs[1].after.empty());
    CHECK(pairs[2].before.empty());
    CHECK(pairs[2].after == Indices{1});
}

TEST_CASE("at the same places a mode of another shape is another mode, however near") {
    const auto before = room({mode(60, 0.6, {1, 0.1, 0, 0.2})});
    CHECK(pair_modes(before, room({mode(60.1, 0.3, {0.1, 1, 0.9, 0})}))[0].after.empty());
    CHECK(pair_modes(before, room({mode(60.1, 0.3, {1, 0.2, 0, 0.2})}))[0].after == Indices{0});
}

TEST_CASE("without shapes only frequencies that agree make a pair") {
    const auto before = room({mode(140.8, 0.09, {1})});
    PairingOptions options;
    options.same_positions = false;
    // A short decay's width covers much: 2.2/0.09 = 24 Hz.
    CHECK(pair_modes(before, room({mode(124.7, 0.09, {1})}), options)[0].after.empty());
    CHECK(pair_modes(before, room({mode(141.4, 0.12, {1})}), options)[0].after == Indices{0});
    // The same holds of fewer than three common positions.
    CHECK(pair_modes(before, room({mode(124.7, 0.09, {1})}))[0].after.empty());
}

TEST_CASE("neighbours that fall together are one group, and their order does not matter") {
    // Source: closed form, half-power width 2.2/0.7 s = 3.1 Hz, a fifth of it 0.63 Hz.
    const auto before =
        room({mode(66.0, 0.8, {1, 1, 0}), mode(66.3, 0.6, {0, 1, 1}), mode(68, 0.7, {1, 0, 1})});
    CHECK(mode_groups(before) == std::vector<Indices>{{0, 1}, {2}});
    const auto after =
        room({mode(65.9, 0.6, {0, 1, 1}), mode(66.2, 0.8, {1, 1, 0}), mode(68, 0.7, {1, 0, 1})});
    PairingOptions elsewhere;
    elsewhere.same_positions = false;
    const auto pairs = pair_modes(before, after, elsewhere);
    REQUIRE(pairs.size() == 2);
    CHECK(pairs[0].before == Indices{0, 1});
    CHECK(pairs[0].after == Indices{0, 1});
    // A group is not compared with one mode alone.
    CHECK(pair_modes(before, room({mode(66.1, 0.7, {1, 2, 1})}), elsewhere)[0].after.empty());
}

TEST_CASE("a weak neighbour does not make a group") {
    CHECK(mode_groups(room({mode(66.0, 0.8, {1, 1, 0}), mode(66.3, 0.6, {0, 0.1, 0.1})})).size() == 2);
}
