// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/geometry.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double fit_tolerance_m = 1e-6; // below any tape measure, above rounding

constexpr std::array<std::string_view, 6> wall_names = {"front", "rear", "left", "right", "floor", "ceiling"};

void require_fit(const Box& box, const WallRectangle& rectangle) {
    const auto axes = axes_along(rectangle.wall);
    for (std::size_t i = 0; i < 2; ++i) {
        const double edge = box.edges_m[axes[i]];
        if (rectangle.from_m[i] < -fit_tolerance_m || rectangle.to_m[i] > edge + fit_tolerance_m ||
            rectangle.to_m[i] <= rectangle.from_m[i])
            throw Error(ErrorKind::unusable,
                        fmt::format("the trap reaches from {:.3f} m to {:.3f} m on the {} wall, which is "
                                    "{:.3f} m there; make it smaller or move it",
                                    rectangle.from_m[i], rectangle.to_m[i], name(rectangle.wall), edge));
    }
}

WallRectangle flat_rectangle(const TrapPlace& place) {
    // Width runs along the first axis of the wall and height along the second, on every wall.
    return {place.wall,
            {place.along_m, place.up_m},
            {place.along_m + place.face_width_m, place.up_m + place.face_height_m}};
}

bool upright_corner(const TrapPlace& place) {
    return axis_of(place.wall) != 2 && axis_of(*place.corner_with) != 2;
}

/// How far a trap across a corner reaches along either wall.
double reach_m(const TrapPlace& place, double depth_m) {
    return (place.across_m() + (place.box_across ? depth_m : 0)) / std::numbers::sqrt2;
}

void require_reach(const Box& box, const TrapPlace& place, double depth_m, Wall wall, Wall other) {
    const double edge = box.edges_m[axis_of(other)], reach = reach_m(place, depth_m);
    if (reach <= edge + fit_tolerance_m)
        return;
    const double largest = edge * std::numbers::sqrt2 - (place.box_across ? depth_m : 0);
    throw Error(
        ErrorKind::unusable,
        fmt::format("the trap across the corner reaches {:.3f} m along the {} wall, which is {:.3f} m "
                    "there; {}",
                    reach, name(wall), edge,
                    largest > 0 ? fmt::format("the largest {} of its face that fits is {:.3f} m",
                                              upright_corner(place) ? "width" : "height", largest)
                                : "a box of this depth does not fit at all"));
}

/// The leg on `wall` of a trap across its corner with `other`.
WallRectangle corner_leg(const Box& box, const TrapPlace& place, double reach, Wall wall, Wall other) {
    const bool upright = upright_corner(place);
    const double begin = upright ? place.up_m : place.along_m;
    const double length = upright ? place.face_height_m : place.face_width_m;
    WallRectangle leg{wall, {}, {}};
    const auto axes = axes_along(wall);
    for (std::size_t i = 0; i < 2; ++i) {
        const double edge = box.edges_m[axes[i]];
        const bool to_corner = axes[i] == axis_of(other);
        leg.from_m[i] = to_corner ? (is_far(other) ? edge - reach : 0) : begin;
        leg.to_m[i] = to_corner ? (is_far(other) ? edge : reach) : begin + length;
    }
    return leg;
}

} // namespace

double distance_m(const Point& a, const Point& b) {
    return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

double Box::surface_m2() const {
    const auto& [x, y, z] = edges_m;
    return 2 * (x * y + y * z + z * x);
}

bool Box::holds(const Point& point) const {
    for (std::size_t axis = 0; axis < 3; ++axis)
        if (!(point[axis] >= 0 && point[axis] <= edges_m[axis]))
            return false;
    return true;
}

namespace {

bool inside(const RoomPart& part, const Point& point) {
    for (std::size_t axis = 0; axis < 3; ++axis)
        if (point[axis] < part.from_m[axis] || point[axis] > part.to_m[axis])
            return false;
    return true;
}

/// Every place where something begins or ends, rising, along each axis.
std::array<std::vector<double>, 3> edges_of(const RoomShape& shape) {
    std::array<std::vector<double>, 3> edges;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        auto& own = edges[axis];
        own = {0, shape.box.edges_m[axis]};
        for (const RoomPart& part : shape.parts)
            own.push_back(part.from_m[axis]), own.push_back(part.to_m[axis]);
        std::sort(own.begin(), own.end());
        own.erase(std::unique(own.begin(), own.end()), own.end());
    }
    return edges;
}

/// Calls `act(from, to)` for every block between these places that holds air.
template <class Act>
void each_block(const RoomShape& shape, const Act& act) {
    const auto edges = edges_of(shape);
    for (std::size_t i = 0; i + 1 < edges[0].size(); ++i)
        for (std::size_t j = 0; j + 1 < edges[1].size(); ++j)
            for (std::size_t k = 0; k + 1 < edges[2].size(); ++k) {
                const Point from{edges[0][i], edges[1][j], edges[2][k]};
                const Point to{edges[0][i + 1], edges[1][j + 1], edges[2][k + 1]};
                if (shape.holds({(from[0] + to[0]) / 2, (from[1] + to[1]) / 2, (from[2] + to[2]) / 2}))
                    act(from, to);
            }
}

} // namespace

double RoomShape::volume_m3() const {
    double sum = 0;
    each_block(*this, [&](const Point& from, const Point& to) {
        sum += (to[0] - from[0]) * (to[1] - from[1]) * (to[2] - from[2]);
    });
    return sum;
}

double RoomShape::surface_m2() const {
    double sum = 0;
    each_block(*this, [&](const Point& from, const Point& to) {
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const std::size_t b = (axis + 1) % 3, c = (axis + 2) % 3;
            const double side = (to[b] - from[b]) * (to[c] - from[c]);
            constexpr double beyond_m = 1e-6;
            for (const double place : {from[axis] - beyond_m, to[axis] + beyond_m}) {
                Point next;
                next[axis] = place, next[b] = (from[b] + to[b]) / 2, next[c] = (from[c] + to[c]) / 2;
                sum += holds(next) ? 0 : side;
            }
        }
    });
    return sum;
}

bool RoomShape::holds(const Point& point) const {
    bool air = box.holds(point);
    for (const RoomPart& part : parts)
        if (inside(part, point)) {
            if (part.kind == RoomPart::Kind::solid)
                return false;
            air = true;
        }
    return air;
}

std::array<Point, 2> RoomShape::bounds_m() const {
    std::array<Point, 2> bounds{Point{}, box.edges_m};
    for (const RoomPart& part : parts)
        for (std::size_t axis = 0; axis < 3; ++axis) {
            bounds[0][axis] = std::min(bounds[0][axis], part.from_m[axis]);
            bounds[1][axis] = std::max(bounds[1][axis], part.to_m[axis]);
        }
    return bounds;
}

std::string_view name(Wall wall) {
    return wall_names[static_cast<std::size_t>(wall)];
}

std::optional<Wall> wall_named(std::string_view wanted) {
    for (const Wall wall : all_walls)
        if (name(wall) == wanted)
            return wall;
    return {};
}

std::size_t axis_of(Wall wall) {
    return static_cast<std::size_t>(wall) / 2;
}

bool is_far(Wall wall) {
    return static_cast<std::size_t>(wall) % 2 == 1;
}

std::array<std::size_t, 2> axes_along(Wall wall) {
    switch (axis_of(wall)) {
    case 0:
        return {1, 2};
    case 1:
        return {0, 2};
    default:
        return {0, 1};
    }
}

double area_m2(const Box& box, Wall wall) {
    const auto axes = axes_along(wall);
    return box.edges_m[axes[0]] * box.edges_m[axes[1]];
}

double distance_m(const Box& box, Wall wall, const Point& point) {
    const std::size_t axis = axis_of(wall);
    return is_far(wall) ? box.edges_m[axis] - point[axis] : point[axis];
}

bool overlap(const WallRectangle& a, const WallRectangle& b) {
    if (a.wall != b.wall)
        return false;
    for (std::size_t i = 0; i < 2; ++i)
        if (a.to_m[i] <= b.from_m[i] + fit_tolerance_m || b.to_m[i] <= a.from_m[i] + fit_tolerance_m)
            return false;
    return true;
}

std::optional<WallRectangle> touched(const Box& box, const RoomPart& part, Wall wall) {
    const std::size_t axis = axis_of(wall);
    const bool behind = part.kind == RoomPart::Kind::recess;
    const double side = is_far(wall) == behind ? part.from_m[axis] : part.to_m[axis];
    if (std::abs(side - (is_far(wall) ? box.edges_m[axis] : 0)) > touching_m)
        return {};
    WallRectangle rectangle{wall, {}, {}};
    const auto along = axes_along(wall);
    for (std::size_t i = 0; i < 2; ++i)
        rectangle.from_m[i] = part.from_m[along[i]], rectangle.to_m[i] = part.to_m[along[i]];
    return rectangle;
}

double free_distance_m(const RoomShape& shape, Wall wall, const Point& point) {
    const std::size_t axis = axis_of(wall);
    const auto before = [&](const RoomPart& part) { // whether the way leads through the part's sides
        const auto along = axes_along(wall);
        return std::all_of(along.begin(), along.end(), [&](std::size_t i) {
            return point[i] >= part.from_m[i] && point[i] <= part.to_m[i];
        });
    };
    const auto way = [&](double coordinate) { return (is_far(wall) ? 1 : -1) * (coordinate - point[axis]); };
    const Wall opposite = all_walls[2 * axis + (is_far(wall) ? 0 : 1)];
    double distance = distance_m(shape.box, wall, point);
    for (const RoomPart& part : shape.parts)
        if (part.kind == RoomPart::Kind::recess && before(part) &&
            (touched(shape.box, part, wall) || (inside(part, point) && !touched(shape.box, part, opposite))))
            distance = way(is_far(wall) ? part.to_m[axis] : part.from_m[axis]);
    for (const RoomPart& part : shape.parts) {
        const double near = way(is_far(wall) ? part.from_m[axis] : part.to_m[axis]);
        if (part.kind == RoomPart::Kind::solid && before(part) && near >= 0)
            distance = std::min(distance, near);
    }
    return distance;
}

double TrapPlace::across_m() const {
    return corner_with && !upright_corner(*this) ? face_height_m : face_width_m;
}

std::vector<CoveredWall> covered_walls(const Box& box, const TrapPlace& place, double depth_m) {
    if (!(place.face_width_m > 0 && place.face_height_m > 0))
        throw Error(ErrorKind::unusable, "the trap has no face; give face_width and face_height above 0");
    if (!place.corner_with) {
        const WallRectangle rectangle = flat_rectangle(place);
        require_fit(box, rectangle);
        return {{rectangle, 1}};
    }
    const Wall other = *place.corner_with;
    if (axis_of(place.wall) == axis_of(other))
        throw Error(ErrorKind::unusable, fmt::format("the {} and {} walls do not meet; name two walls of one "
                                                     "corner, such as rear and left",
                                                     name(place.wall), name(other)));
    std::vector<CoveredWall> covered;
    const double reach = reach_m(place, depth_m);
    for (const auto& [wall, with] : {std::pair{place.wall, other}, std::pair{other, place.wall}}) {
        require_reach(box, place, depth_m, wall, with);
        const WallRectangle leg = corner_leg(box, place, reach, wall, with);
        require_fit(box, leg);
        covered.push_back({leg, place.across_m() / (2 * reach),
                           place.across_m() / 2 + (place.box_across ? depth_m : 0),
                           place.box_across ? depth_m : 0});
    }
    return covered;
}

std::vector<std::string_view> names(const OpenSides& open) {
    std::vector<std::string_view> sides;
    for (const auto& [is_open, side] : {std::pair{open.left, "left"}, std::pair{open.right, "right"},
                                        std::pair{open.top, "top"}, std::pair{open.bottom, "bottom"}})
        if (is_open)
            sides.emplace_back(side);
    return sides;
}

std::string in_words(const OpenSides& open) {
    if (open.all() || !open.any())
        return open.all() ? "sides open" : "sides closed";
    return fmt::format("open: {}; other sides closed", fmt::join(names(open), ", "));
}

bool left_is_smaller(Wall wall) {
    return wall == Wall::front || wall == Wall::right || axis_of(wall) == 2;
}

std::vector<std::array<double, 2>> corner_outline(const Box& box, const TrapPlace& place, double depth_m) {
    const double leg = place.across_m() / std::numbers::sqrt2, out = depth_m / std::numbers::sqrt2;
    // Distances from `wall` and from `corner_with`.
    std::vector<std::array<double, 2>> corners{{0, 0}, {leg, 0}, {0, leg}};
    if (place.box_across)
        corners = {{leg, 0}, {leg + out, out}, {out, leg + out}, {0, leg}};
    const auto coordinate = [&](Wall wall, double distance) {
        return is_far(wall) ? box.edges_m[axis_of(wall)] - distance : distance;
    };
    for (auto& [from_wall, from_other] : corners)
        from_wall = coordinate(place.wall, from_wall),
        from_other = coordinate(*place.corner_with, from_other);
    return corners;
}

} // namespace ebbmark
