// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/mode_pairs.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

MeasuredMode mode_at(double hz, double t60_s) {
    MeasuredMode mode;
    mode.hz = Measured::of(hz);
    mode.t60_s = {t60_s, 0.95 * t60_s, t60_s / 0.95, {}};
    return mode;
}

} // namespace

TEST_CASE("paired, vanished and new modes all reach the comparison or its notes") {
    Ringing before, after;
    before.modes = {mode_at(40, 0.8), mode_at(55, 0.6)};
    after.modes = {mode_at(39.8, 0.4), mode_at(70, 0.3)};
    const std::vector<PairedMode> pairs = {
        {0, 0, 0.97, Measured::of(-50), {}, {}},
        {1, {}, 0, Measured::none(Empty::overlap), {}, 0.2},
        {{}, 1, 0, Measured::none(Empty::overlap), {}, {}},
    };
    const auto modes = mode_pairs(before, after, pairs);
    REQUIRE(modes.size() == 2);
    CHECK(modes[0].before_hz == 40);
    CHECK(*modes[0].after_hz == 39.8);
    CHECK(modes[0].pairing == 0.97);
    CHECK(*modes[0].after_t60_s.high == relative(0.4 / 0.95));
    CHECK(!modes[0].after_t60_at_most_s);
    CHECK(!modes[1].after_hz);
    CHECK(modes[1].after_t60_s.empty == Empty::overlap);
    CHECK(*modes[1].after_t60_at_most_s == 0.2);
    CHECK(new_modes(pairs) == std::vector<std::size_t>{1});
}
