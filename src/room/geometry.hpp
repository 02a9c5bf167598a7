// SPDX-License-Identifier: GPL-3.0-or-later
// Rectangular rooms, places in them and what a trap covers of the walls. Origin in the floor corner of the
// front and left walls seen from inside facing the front, x to the rear, y to the right, z up.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// x, y, z in metres.
using Point = std::array<double, 3>;

double distance_m(const Point& a, const Point& b);

/// Length (x), width (y) and height (z) of a rectangular room in metres.
struct Box {
    std::array<double, 3> edges_m{};

    double volume_m3() const { return edges_m[0] * edges_m[1] * edges_m[2]; }
    double surface_m2() const;
    double edge_length_m() const { return 4 * (edges_m[0] + edges_m[1] + edges_m[2]); }
    bool holds(const Point& point) const;
};

/// What keeps a room from being a box: a column, a chimney breast, the missing corner of an L (solid, inside
/// the box), or a niche (recess, outside it, open over a whole side to it).
struct RoomPart {
    enum class Kind { solid, recess };
    std::string name;
    Kind kind = Kind::solid;
    Point from_m{}, to_m{};

    friend bool operator==(const RoomPart&, const RoomPart&) = default;
};

/// A box with parts.
struct RoomShape {
    Box box;
    std::vector<RoomPart> parts = {};

    double volume_m3() const;
    double surface_m2() const;
    /// Whether there is air: in the box or a recess, in no solid part.
    bool holds(const Point& point) const;
    /// The box and all recesses: from, to.
    std::array<Point, 2> bounds_m() const;
};

enum class Wall { front, rear, left, right, floor, ceiling };
inline constexpr std::array<Wall, 6> all_walls = {Wall::front, Wall::rear,  Wall::left,
                                                  Wall::right, Wall::floor, Wall::ceiling};

/// "front", "rear", …
std::string_view name(Wall wall);
std::optional<Wall> wall_named(std::string_view name);

/// The axis (0 x, 1 y, 2 z) on which the wall stands upright.
std::size_t axis_of(Wall wall);
/// Whether the wall is the one at the larger coordinate.
bool is_far(Wall wall);
/// The two axes along the wall, in rising order.
std::array<std::size_t, 2> axes_along(Wall wall);
double area_m2(const Box& box, Wall wall);
double distance_m(const Box& box, Wall wall, const Point& point);

/// Axis-parallel rectangle on a wall, in room coordinates along axes_along(wall).
struct WallRectangle {
    Wall wall = Wall::front;
    std::array<double, 2> from_m{};
    std::array<double, 2> to_m{};

    double area_m2() const { return (to_m[0] - from_m[0]) * (to_m[1] - from_m[1]); }
    friend bool operator==(const WallRectangle&, const WallRectangle&) = default;
};

bool overlap(const WallRectangle& a, const WallRectangle& b);

/// A tape's width: what is nearer to something touches it.
inline constexpr double touching_m = 0.002;

/// What a solid part covers of a wall that it touches; the mouth of a recess that lies behind it.
std::optional<WallRectangle> touched(const Box& box, const RoomPart& part, Wall wall);

/// From a place in the air straight towards a wall until something stands in the way: the wall, a part
/// before it, the back of a recess behind it.
double free_distance_m(const RoomShape& shape, Wall wall, const Point& point);

/// A piece of a wall with a state of its own, such as a door.
struct RoomPatch {
    enum class Kind { door, window, plasterboard, curtain };
    std::string name;
    Kind kind = Kind::door;
    WallRectangle rectangle;

    friend bool operator==(const RoomPatch&, const RoomPatch&) = default;
};
inline constexpr std::array<std::string_view, 4> patch_kinds = {"door", "window", "plasterboard", "curtain"};

/// Sides of a trap that let sound in, as somebody sees them who faces it; on floor and ceiling left and right
/// are the smaller and the larger x, bottom and top y. Half open counts as open.
struct OpenSides {
    bool left = false, right = false, top = false, bottom = false;

    OpenSides(bool all = false) : left(all), right(all), top(all), bottom(all) {}
    bool any() const { return left || right || top || bottom; }
    bool all() const { return left && right && top && bottom; }
    friend bool operator==(const OpenSides&, const OpenSides&) = default;
};

/// Those that are open: "left", "right", "top", "bottom".
std::vector<std::string_view> names(const OpenSides& open);

/// "sides open", "sides closed", or "open: left, top; other sides closed".
std::string in_words(const OpenSides& open);

/// Where a trap stands. Flat on a wall: `along` counts from the wall's end with the smaller coordinate, `up`
/// from the floor (on floor and ceiling: width along x from `along`, height along y from `up`).
/// Across the corner of two walls: the face spans the corner at 45° with its width (an upright corner, begins
/// at height `up`) or with its height (an edge with floor or ceiling, begins `along` that edge). Either its
/// layers lie in the corner, or it is a box whose back edges touch both walls, with air behind and beside it.
struct TrapPlace {
    double face_width_m = 0;
    double face_height_m = 0;
    Wall wall = Wall::front;
    std::optional<Wall> corner_with; ///< the second wall of a corner
    double along_m = 0;
    double up_m = 0;
    bool box_across = false; ///< with a corner: a box, not what lies in the corner

    /// The edge of the face that spans the corner.
    double across_m() const;
    double face_m2() const { return face_width_m * face_height_m; }
};

/// A part of a wall behind a trap. `face_share` is the face's area over all the area that it covers: 1 for
/// a flat trap, 1/√2 (a box: somewhat less) across a corner, where its volume flow spreads over both walls.
struct CoveredWall {
    WallRectangle rectangle;
    double face_share = 1;
    std::optional<double> corner_depth_m = {}; ///< from the face to the corner behind it, where there is one
    double least_depth_m = 0; ///< at a corner: from the edges of the face to what lies behind them
};

/// What the trap covers; one rectangle on a wall, two at a corner. `depth_m` is that of a box across a
/// corner, which stands out beyond its place on the walls. Throws Error(unusable) where the trap does not
/// fit, is empty, or its two walls do not meet.
std::vector<CoveredWall> covered_walls(const Box& box, const TrapPlace& place, double depth_m = 0);

/// Whether, for somebody who faces this upright wall, left is the smaller coordinate along it.
bool left_is_smaller(Wall wall);

/// A trap across a corner in the plane that its two walls stand upright on: coordinates along the axis of
/// `wall`, then of `corner_with`.
std::vector<std::array<double, 2>> corner_outline(const Box& box, const TrapPlace& place, double depth_m);

} // namespace ebbmark
