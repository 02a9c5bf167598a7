// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/trap_body.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using doctest::Approx;

namespace {

constexpr Box room{{4.1, 3.3, 2.6}};
const double root_2 = std::sqrt(2.0);

} // namespace

TEST_CASE("two boxes overlap by the least way out") {
    const ConvexBody a = box_body({0, 0, 0}, {1, 1, 1});
    CHECK(overlap_m(a, box_body({0.9, 0.5, 0}, {2, 2, 1})) == Approx(0.1));
    CHECK(overlap_m(a, box_body({1, 0, 0}, {2, 1, 1})) == Approx(0));
    CHECK(overlap_m(a, box_body({1.25, 0, 0}, {2, 1, 1})) == Approx(-0.25));
}

TEST_CASE("a flat trap reaches its depth into the room from its own wall") {
    const TrapPlace place{1.2, 2, Wall::rear, {}, 0.4, 0.2};
    const ConvexBody body = trap_body(room, place, 0.15);
    CHECK(inside_m(body, {4.1 - 0.1, 1, 1}) == Approx(0.05));
    CHECK(inside_m(body, {4.1 - 0.2, 1, 1}) == Approx(-0.05));
    CHECK(inside_m(body, {4.05, 0.39, 1}) == Approx(-0.01));
    const ConvexBody ceiling = trap_body(room, {1, 1, Wall::ceiling, {}, 0.5, 0.5}, 0.1);
    CHECK(inside_m(ceiling, {1, 1, 2.55}) == Approx(0.05));
}

TEST_CASE("what fills a corner is a triangle: a box may stand where the box around it would not let it") {
    // Closed form: the face lies at across/2 from the corner, along the diagonal.
    const TrapPlace corner{root_2, 2, Wall::front, Wall::left, 0, 0}; // legs of 1 m
    const ConvexBody body = trap_body(room, corner, 0.1);
    CHECK(inside_m(body, {0.5, 0.5, 1}) == Approx(0));
    CHECK(inside_m(body, {0.25, 0.25, 1}) == Approx(0.25)); // to the walls; to the face 0.354
    CHECK(inside_m(body, {0.9, 0.9, 1}) == Approx(-0.8 / root_2));
    CHECK(overlap_m(body, box_body({0.6, 0.6, 0}, {1, 1, 1})) == Approx(-0.2 / root_2));
    CHECK(overlap_m(body, box_body({0.45, 0.45, 0}, {1, 1, 1})) == Approx(0.1 / root_2));
    CHECK_FALSE(run_into(body, box_body({1, 0, 0}, {2, 1, 2}), 0.01)); // beside its leg
    CHECK(run_into(body, box_body({0.9, 0, 0}, {2, 1, 2}), 0.01));
}

TEST_CASE("a box across a corner reaches its depth beyond its face, and leaves the corner behind it free") {
    TrapPlace place{root_2, 2, Wall::front, Wall::left, 0, 0};
    place.box_across = true;
    const ConvexBody body = trap_body(room, place, 0.2 * root_2);
    // From x + y = 1 to x + y = 1.4.
    CHECK(inside_m(body, {0.5, 0.5, 1}) == Approx(0));
    CHECK(inside_m(body, {0.6, 0.6, 1}) == Approx(0.2 / root_2));
    CHECK(inside_m(body, {0.3, 0.3, 1}) == Approx(-0.4 / root_2));
    CHECK_FALSE(run_into(body, box_body({0, 0, 0}, {0.5, 0.5, 2}), 0.01));
    CHECK(run_into(body, box_body({0, 0, 0}, {0.6, 0.6, 2}), 0.01));
}

TEST_CASE("prisms across neighbouring edges of the room are parted only by a cross product of their edges") {
    // One along the ceiling at the front, one upright at front and left; both with legs of 0.5 m. The first
    // fills x + (h - z) < 0.5, the second x + y < 0.5.
    const double face = 0.5 * root_2;
    const ConvexBody upright = trap_body(room, {face, 1, Wall::front, Wall::left, 0, 1.6}, 0.1);
    const ConvexBody beyond = trap_body(room, {1, face, Wall::front, Wall::ceiling, 0.5, 0}, 0.1);
    const ConvexBody into = trap_body(room, {1, face, Wall::front, Wall::ceiling, 0.3, 0}, 0.1);
    CHECK_FALSE(run_into(upright, beyond, 0.01));
    CHECK(run_into(upright, into, 0.01));
}

TEST_CASE("thin things run into each other, however thin they are") {
    const ConvexBody felt = trap_body(room, {1, 1, Wall::left, {}, 0.5, 0.5}, 0);
    CHECK(run_into(felt, felt, 0.01));
    CHECK_FALSE(run_into(felt, trap_body(room, {1, 1, Wall::left, {}, 1.5, 0.5}, 0), 0.01));
    CHECK_FALSE(run_into(felt, trap_body(room, {1, 1, Wall::left, {}, 1.495, 0.5}, 0), 0.01)); // half a cm
    CHECK(run_into(felt, trap_body(room, {1, 1, Wall::left, {}, 1.48, 0.5}, 0), 0.01));
}
