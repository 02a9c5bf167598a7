// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/modes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;
using doctest::Approx;

namespace {

constexpr Box book_room{{7, 5, 3}}; // M. Long, Architectural Acoustics, 2nd ed., Table 8.1, c = 344 m/s

int count(const std::vector<RoomMode>& modes, ModeKind kind) {
    return static_cast<int>(
        std::count_if(modes.begin(), modes.end(), [&](const RoomMode& mode) { return mode.kind() == kind; }));
}

} // namespace

TEST_CASE("the first modes of the textbook room are those printed") {
    // Source: published. Long 2nd ed. Table 8.1; the book rounds up to 0.13 Hz above the exact values.
    const std::pair<std::array<int, 3>, double> printed[] = {{{1, 0, 0}, 24.6}, {{0, 1, 0}, 34.5},
                                                             {{1, 1, 0}, 42.4}, {{2, 0, 0}, 49.2},
                                                             {{0, 0, 1}, 57.4}, {{2, 1, 0}, 60.1}};
    const auto modes = room_modes(book_room, 344, 61);
    REQUIRE(modes.size() == 6);
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(modes[i].order == printed[i].first);
        CHECK(std::abs(modes[i].hz - printed[i].second) < 0.14);
    }
}

TEST_CASE("mode counts and densities of the textbook room") {
    // Source: published. Long 2nd ed.: 128 modes below 200 Hz counted, 128.5 by Eq. 8.45; 34 per Hz at 1 kHz.
    const auto below_200 = room_modes(book_room, 344, 200);
    CHECK(below_200.size() == 128);
    CHECK(mode_count(book_room, 344, 200) == Approx(128.5).epsilon(0.0005));
    CHECK(mode_density_per_hz(book_room, 344, 1000) == Approx(34.32).epsilon(0.0002));
    // Source: closed form, counted independently.
    CHECK(count(below_200, ModeKind::axial) == 16);
    CHECK(count(below_200, ModeKind::tangential) == 58);
    CHECK(count(below_200, ModeKind::oblique) == 54);
    const auto below_100 = room_modes(book_room, 344, 100);
    CHECK(count(below_100, ModeKind::axial) == 7);
    CHECK(count(below_100, ModeKind::tangential) == 10);
    CHECK(count(below_100, ModeKind::oblique) == 4);
    CHECK(room_modes(book_room, 344, 300).size() == 383);
}

TEST_CASE("all modes of a small box below 1 kHz, in order") {
    // Source: published. Analytic eigenfrequency list of an open room-acoustics test set, box 0.8 x 0.5 x
    // 0.3 m, c = 343.9 m/s, four decimals.
    struct Row {
        std::array<int, 3> order;
        double hz;
    };
    const Row rows[] = {
        {{1, 0, 0}, 214.9375}, {{0, 1, 0}, 343.9000}, {{1, 1, 0}, 405.5433}, {{2, 0, 0}, 429.8750},
        {{2, 1, 0}, 550.5086}, {{0, 0, 1}, 573.1667}, {{1, 0, 1}, 612.1423}, {{3, 0, 0}, 644.8125},
        {{0, 1, 1}, 668.4215}, {{0, 2, 0}, 687.8000}, {{1, 1, 1}, 702.1292}, {{2, 0, 1}, 716.4583},
        {{1, 2, 0}, 720.6018}, {{3, 1, 0}, 730.7875}, {{2, 1, 1}, 794.7199}, {{2, 2, 0}, 811.0865},
        {{4, 0, 0}, 859.7500}, {{3, 0, 1}, 862.7301}, {{0, 2, 1}, 895.3150}, {{1, 2, 1}, 920.7535},
        {{4, 1, 0}, 925.9791}, {{3, 1, 1}, 928.7467}, {{3, 2, 0}, 942.7895}, {{2, 2, 1}, 993.1673}};
    const auto modes = room_modes({{0.8, 0.5, 0.3}}, 343.9, 1000);
    REQUIRE(modes.size() == std::size(rows));
    for (std::size_t i = 0; i < modes.size(); ++i) {
        CHECK(modes[i].order == rows[i].order);
        CHECK(std::abs(modes[i].hz - rows[i].hz) < 6e-5);
    }
}

TEST_CASE("coinciding modes are all counted and lie side by side") {
    // Source: closed form. 5 x 4 x 2.5 m, c = 343: 33 modes below 150 Hz, 32.8 by the formula; (001) and
    // (200) coincide at 68.6 Hz, (103)-like pairs further up.
    const Box room{{5, 4, 2.5}};
    const auto modes = room_modes(room, 343, 150);
    CHECK(modes.size() == 33);
    CHECK(mode_count(room, 343, 150) == Approx(32.8).epsilon(0.002));
    CHECK(modes[3].hz == Approx(68.6).epsilon(1e-9));
    CHECK(modes[4].hz == Approx(68.6).epsilon(1e-9));
    CHECK(modes[32].order == std::array{1, 3, 1});
    CHECK(modes[32].hz == Approx(149.7559).epsilon(1e-6));
}

TEST_CASE("mode shapes are 1 in the corner, 0 on nodal planes and orthogonal weights") {
    // Source: closed form.
    const Box room{{5, 4, 2.5}};
    CHECK(mode_shape(room, {3, 2, 1}, {0, 0, 0}) == Approx(1));
    CHECK(std::abs(mode_shape(room, {1, 0, 0}, {2.5, 1, 1})) < 1e-12);
    CHECK(mode_shape(room, {1, 1, 0}, {5, 0, 1}) == Approx(-1));
    CHECK(mode_weight({0, 2, 0}) == 2);
    CHECK(mode_weight({1, 1, 1}) == 8);
}

TEST_CASE("Schroeder frequency") {
    // Source: closed form, Schroeder 1962: V 50 m³, T 0.5 s; V 105, T 0.6.
    CHECK(schroeder_hz(0.5, 50) == Approx(200));
    CHECK(schroeder_hz(0.6, 105) == Approx(151.2).epsilon(0.0003));
}
