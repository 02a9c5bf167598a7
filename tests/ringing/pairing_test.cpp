// SPDX-License-Identifier: GPL-3.0-or-later
#include "modal_scene.hpp"
#include "relative.hpp"
#include "ringing/pairing.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

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
    made.modes = std::move(modes);
    made.positions = 3;
    return made;
}

} // namespace

TEST_CASE("a mode that moved and was damped is found again, with its change and the change's interval") {
    const auto before = room({mode(42, 0.8, {1, -2, 0.5})});
    const auto after = room({mode(41.6, 0.4, {0.9, -2.1, 0.4})});
    const auto pairs = pair_modes(before, after);
    REQUIRE(pairs.size() == 1);
    CHECK(pairs[0].after == 0);
    CHECK(pairs[0].assurance > 0.98);
    // Source: closed form, ln ratio −ln 2 with deviation 0.02·√2.
    CHECK(*pairs[0].change_percent == relative(-50));
    CHECK(*pairs[0].change_percent.low ==
          relative(100 * (0.5 * std::exp(-1.96 * 0.02828) - 1)).epsilon(1e-4));
    CHECK(*pairs[0].p_value < 1e-9);
}

TEST_CASE("shape decides where frequencies have crossed") {
    const auto before = room({mode(50, 0.6, {1, 0, 0.1}), mode(51, 0.6, {0, 1, 0.2})});
    const auto after = room({mode(50.3, 0.4, {0, 1, 0.15}), mode(50.6, 0.4, {1, 0.05, 0.1})});
    const auto pairs = pair_modes(before, after);
    CHECK(pairs[0].after == 1);
    CHECK(pairs[1].after == 0);
}

TEST_CASE("warmer air moves all modes up and is taken into account") {
    // Source: closed form, +10 °C: √(303.15/293.15) = 1.01691.
    const auto before = room({mode(60, 1.2, {1, 2, 3}), mode(61, 1.2, {1, 2, 3})});
    const auto after = room({mode(61.02, 1.2, {1, 2, 3}), mode(62.03, 1.2, {1, 2, 3})});
    PairingOptions options;
    options.speed_ratio = 1.01691;
    const auto pairs = pair_modes(before, after, options);
    CHECK(pairs[0].after == 0);
    CHECK(pairs[1].after == 1);
}

TEST_CASE("a vanished mode is bounded, never dropped; a new one is new") {
    const auto before = room({mode(42, 0.8, {1, -2, 0.5}), mode(80, 0.6, {1, 1, 1})});
    auto after = room({mode(41.8, 0.4, {1, -2, 0.5}), mode(120, 0.3, {1, 0, 0})});
    auto pairs = pair_modes(before, after);
    REQUIRE(pairs.size() == 3);
    CHECK(pairs[1].before == 1);
    CHECK_FALSE(pairs[1].after);
    CHECK(*pairs[1].after_at_most_s == relative(0.1));
    CHECK_FALSE(pairs[2].before);
    CHECK(pairs[2].after == 1);
    // Something uncertain rings there: then it may be that.
    after.uncertain.push_back({79, 5, 0.35});
    pairs = pair_modes(before, after);
    CHECK(*pairs[1].after_at_most_s == relative(0.35));
}

TEST_CASE("without three common positions frequency alone decides") {
    auto before = room({mode(42, 0.8, {1})});
    auto after = room({mode(42.1, 0.7, {5})});
    before.positions = after.positions = 1;
    const auto pairs = pair_modes(before, after);
    CHECK(pairs[0].after == 0);
    CHECK(pairs[0].assurance == 0);
}
