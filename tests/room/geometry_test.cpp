// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "room/geometry.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using doctest::Approx;

namespace {

constexpr Box room{{4.1, 3.3, 2.6}};

} // namespace

TEST_CASE("volume, surface and wall areas of a box") {
    CHECK(room.volume_m3() == Approx(35.178));
    double sum = 0;
    for (const Wall wall : all_walls)
        sum += area_m2(room, wall);
    CHECK(room.surface_m2() == Approx(sum));
    CHECK(area_m2(room, Wall::rear) == Approx(3.3 * 2.6));
    CHECK(room.edge_length_m() == Approx(40));
}

TEST_CASE("volume and surface of a box with a breast, a column and a niche") {
    // Source: by hand. The breast shows two flanks and a front in place of what it covers, and takes twice
    // its footprint from floor and ceiling; the niche adds five sides and takes none: its mouth was wall
    // before.
    using Kind = RoomPart::Kind;
    const RoomShape shape{room,
                          {{"breast", Kind::solid, {0, 1, 0}, {0.4, 2.2, 2.6}},
                           {"column", Kind::solid, {2, 2, 0}, {2.3, 2.4, 2.6}},
                           {"niche", Kind::recess, {1, -0.15, 0}, {1.9, 0, 2}}}};
    CHECK(shape.volume_m3() == Approx(35.178 - 0.4 * 1.2 * 2.6 - 0.3 * 0.4 * 2.6 + 0.9 * 0.15 * 2));
    CHECK(shape.surface_m2() == Approx(room.surface_m2() + 2 * 0.4 * 2.6 - 2 * 0.4 * 1.2 +
                                       2 * (0.3 + 0.4) * 2.6 - 2 * 0.3 * 0.4 + 2 * 0.15 * (0.9 + 2)));
    CHECK(shape.holds({0.5, 1.5, 1}));
    CHECK_FALSE(shape.holds({0.3, 1.5, 1}));
    CHECK(shape.holds({1.5, -0.1, 1}));
    CHECK_FALSE(shape.holds({2.5, -0.1, 1}));
    CHECK(shape.bounds_m()[0][1] == -0.15);
}

TEST_CASE("wall names go there and back") {
    for (const Wall wall : all_walls)
        CHECK(wall_named(name(wall)) == wall);
    CHECK_FALSE(wall_named("back"));
}

TEST_CASE("distances to walls") {
    const Point place{0.6, 1.1, 1.2};
    CHECK(distance_m(room, Wall::front, place) == Approx(0.6));
    CHECK(distance_m(room, Wall::rear, place) == Approx(3.5));
    CHECK(distance_m(room, Wall::right, place) == Approx(2.2));
    CHECK(distance_m(room, Wall::ceiling, place) == Approx(1.4));
    CHECK(distance_m(Point{0, 0, 0}, Point{1, 2, 2}) == Approx(3));
    CHECK(room.holds(place));
    CHECK_FALSE(room.holds({4.2, 1, 1}));
    CHECK_FALSE(room.holds({NAN, 1, 1}));
}

TEST_CASE("a flat trap covers its own face, along and up from the smaller coordinate") {
    TrapPlace place{1.2, 2.0, Wall::rear, {}, 0.4, 0.2};
    auto covered = covered_walls(room, place);
    REQUIRE(covered.size() == 1);
    CHECK(covered[0].rectangle.from_m == std::array{0.4, 0.2});
    CHECK(covered[0].rectangle.to_m[0] == Approx(1.6));
    CHECK(covered[0].rectangle.to_m[1] == Approx(2.2));
    CHECK(covered[0].face_share == 1);
    place.wall = Wall::ceiling; // width along x, height along y
    covered = covered_walls(room, place);
    CHECK(covered[0].rectangle.to_m[1] == Approx(2.2));
}

TEST_CASE("a trap across an upright corner covers two legs whose flow equals that of its face") {
    const TrapPlace place{0.85, 1.9, Wall::rear, Wall::left, 0, 0.1};
    const auto covered = covered_walls(room, place);
    REQUIRE(covered.size() == 2);
    CHECK(covered[0].rectangle.wall == Wall::rear); // along y, z
    CHECK(covered[0].rectangle.from_m[0] == 0);
    CHECK(covered[0].rectangle.to_m[0] == Approx(0.85 / std::sqrt(2)));
    CHECK(covered[1].rectangle.wall == Wall::left); // along x, z
    CHECK(covered[1].rectangle.from_m[0] == Approx(4.1 - 0.85 / std::sqrt(2)));
    CHECK(covered[1].rectangle.to_m[0] == Approx(4.1));
    double flow = 0;
    for (const CoveredWall& leg : covered)
        flow += leg.rectangle.area_m2() * leg.face_share;
    CHECK(flow == Approx(place.face_m2()));
}

TEST_CASE("a trap across a ceiling edge runs along it") {
    const TrapPlace place{2.0, 0.6, Wall::rear, Wall::ceiling, 0.5, 0};
    const auto covered = covered_walls(room, place);
    CHECK(covered[0].rectangle.from_m[0] == Approx(0.5)); // along y
    CHECK(covered[0].rectangle.to_m[0] == Approx(2.5));
    CHECK(covered[0].rectangle.from_m[1] == Approx(2.6 - 0.6 / std::sqrt(2)));
    CHECK(covered[1].rectangle.from_m[1] == Approx(0.5)); // ceiling: along x, y
}

TEST_CASE("traps that do not fit are refused with the reason") {
    CHECK_THROWS_WITH_AS(covered_walls(room, {1.2, 2.5, Wall::rear, {}, 0.4, 0.2}),
                         doctest::Contains("on the rear wall, which is 2.600 m"), Error);
    CHECK_THROWS_AS(covered_walls(room, {0, 2, Wall::rear, {}, 0, 0}), Error);
    CHECK_THROWS_WITH_AS(covered_walls(room, {1, 1, Wall::rear, Wall::front, 0, 0}),
                         doctest::Contains("do not meet"), Error);
}

TEST_CASE("rectangles overlap only on one wall and with an inner area in common") {
    const WallRectangle a{Wall::left, {0, 0}, {1, 1}};
    CHECK(overlap(a, {Wall::left, {0.5, 0.5}, {2, 2}}));
    CHECK_FALSE(overlap(a, {Wall::left, {1, 0}, {2, 1}}));
    CHECK_FALSE(overlap(a, {Wall::right, {0, 0}, {1, 1}}));
}

TEST_CASE("the way towards a wall ends at a part before it, or at the back of a recess") {
    const RoomShape shape{room,
                          {{"chimney breast", RoomPart::Kind::solid, {0, 1, 0}, {0.4, 2.2, 2.6}},
                           {"niche", RoomPart::Kind::recess, {1, -0.3, 0}, {2, 0, 2}}}};
    CHECK(free_distance_m(shape, Wall::front, {2, 1.5, 1}) == Approx(1.6));
    CHECK(free_distance_m(shape, Wall::front, {2, 0.5, 1}) == Approx(2));
    CHECK(free_distance_m(shape, Wall::right, {0.2, 0.5, 1}) == Approx(0.5));
    CHECK(free_distance_m(shape, Wall::left, {1.5, 1, 1}) == Approx(1.3));
    CHECK(free_distance_m(shape, Wall::left, {1.5, 1, 2.3}) == Approx(1));
    const Point in_niche{1.5, -0.1, 1};
    CHECK(free_distance_m(shape, Wall::left, in_niche) == Approx(0.2));
    CHECK(free_distance_m(shape, Wall::right, in_niche) == Approx(3.4));
    CHECK(free_distance_m(shape, Wall::rear, in_niche) == Approx(0.5));
    CHECK(free_distance_m(shape, Wall::ceiling, in_niche) == Approx(1));
}

TEST_CASE("a part covers of a wall what it touches") {
    const RoomPart breast{"chimney breast", RoomPart::Kind::solid, {0, 1, 0}, {0.4, 2.2, 2.6}};
    CHECK(*touched(room, breast, Wall::front) == WallRectangle{Wall::front, {1, 0}, {2.2, 2.6}});
    CHECK_FALSE(touched(room, breast, Wall::rear));
    CHECK_FALSE(touched(room, breast, Wall::left));
    CHECK(touched(room, breast, Wall::ceiling));
    const RoomPart niche{"niche", RoomPart::Kind::recess, {4.1, 1, 0}, {4.3, 2, 2}};
    CHECK(*touched(room, niche, Wall::rear) == WallRectangle{Wall::rear, {1, 0}, {2, 2}});
    CHECK_FALSE(touched(room, niche, Wall::front));
}
