// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/trap_body.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace ebbmark {

namespace {

constexpr double least_depth_m = 0.001;

double dot(const Point& a, const Point& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Point cross(const Point& a, const Point& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

/// Cross products of length 1 of every two directions that are not parallel.
std::vector<Point> normals_of(const std::vector<Point>& edges) {
    constexpr double parallel = 1e-9;
    std::vector<Point> normals;
    for (std::size_t i = 0; i < edges.size(); ++i)
        for (std::size_t j = i + 1; j < edges.size(); ++j) {
            const Point normal = cross(edges[i], edges[j]);
            const double length = std::sqrt(dot(normal, normal));
            if (length > parallel)
                normals.push_back({normal[0] / length, normal[1] / length, normal[2] / length});
        }
    return normals;
}

/// From where to where a body reaches along an axis.
struct Reach {
    double from = std::numeric_limits<double>::infinity(), to = -from;

    double length() const { return to - from; }
};

Reach reach_of(const ConvexBody& body, const Point& axis) {
    Reach reach;
    for (const Point& corner : body.corners_m) {
        reach.from = std::min(reach.from, dot(corner, axis));
        reach.to = std::max(reach.to, dot(corner, axis));
    }
    return reach;
}

double common(const Reach& a, const Reach& b) {
    return std::min(a.to - b.from, b.to - a.from);
}

std::vector<Point> axes_between(const ConvexBody& a, const ConvexBody& b) {
    std::vector<Point> edges = a.edges;
    edges.insert(edges.end(), b.edges.begin(), b.edges.end());
    return normals_of(edges);
}

Point unit(std::size_t axis) {
    Point direction{};
    direction[axis] = 1;
    return direction;
}

/// The outline in the plane of two axes, drawn out along the third.
ConvexBody prism(const std::vector<std::array<double, 2>>& outline_m, std::size_t first, std::size_t second,
                 double from_m, double to_m) {
    const std::size_t along = 3 - first - second;
    ConvexBody body;
    body.edges.push_back(unit(along));
    for (std::size_t i = 0; i < outline_m.size(); ++i) {
        Point corner{}, next{};
        const auto& following = outline_m[(i + 1) % outline_m.size()];
        corner[first] = outline_m[i][0], corner[second] = outline_m[i][1];
        next[first] = following[0], next[second] = following[1];
        body.edges.push_back({next[0] - corner[0], next[1] - corner[1], next[2] - corner[2]});
        for (const double height : {from_m, to_m}) {
            corner[along] = height;
            body.corners_m.push_back(corner);
        }
    }
    return body;
}

} // namespace

ConvexBody box_body(const Point& from_m, const Point& to_m) {
    ConvexBody body{{}, {unit(0), unit(1), unit(2)}};
    for (const double x : {from_m[0], to_m[0]})
        for (const double y : {from_m[1], to_m[1]})
            for (const double z : {from_m[2], to_m[2]})
                body.corners_m.push_back({x, y, z});
    return body;
}

ConvexBody trap_body(const Box& box, const TrapPlace& place, double depth_m) {
    const auto covered = covered_walls(box, place, depth_m);
    if (!place.corner_with) {
        const WallRectangle& face = covered.front().rectangle;
        const auto along = axes_along(place.wall);
        const std::size_t across = axis_of(place.wall);
        const double depth = std::max(depth_m, least_depth_m), edge = box.edges_m[across];
        Point from{}, to{};
        for (std::size_t i = 0; i < 2; ++i)
            from[along[i]] = face.from_m[i], to[along[i]] = face.to_m[i];
        from[across] = is_far(place.wall) ? edge - depth : 0;
        to[across] = is_far(place.wall) ? edge : depth;
        return box_body(from, to);
    }
    const std::size_t first = axis_of(place.wall), second = axis_of(*place.corner_with);
    const bool upright = first != 2 && second != 2;
    const double begin = upright ? place.up_m : place.along_m;
    return prism(corner_outline(box, place, std::max(depth_m, least_depth_m)), first, second, begin,
                 begin + (upright ? place.face_height_m : place.face_width_m));
}

double overlap_m(const ConvexBody& a, const ConvexBody& b) {
    double least = std::numeric_limits<double>::infinity();
    for (const Point& axis : axes_between(a, b))
        least = std::min(least, common(reach_of(a, axis), reach_of(b, axis)));
    return least;
}

bool run_into(const ConvexBody& a, const ConvexBody& b, double tolerance_m) {
    const auto axes = axes_between(a, b);
    return std::all_of(axes.begin(), axes.end(), [&](const Point& axis) {
        const Reach first = reach_of(a, axis), second = reach_of(b, axis);
        return common(first, second) > std::min(tolerance_m, std::min(first.length(), second.length()) / 2);
    });
}

double inside_m(const ConvexBody& body, const Point& point) {
    double least = std::numeric_limits<double>::infinity();
    for (const Point& axis : normals_of(body.edges)) {
        const Reach reach = reach_of(body, axis);
        least = std::min({least, dot(point, axis) - reach.from, reach.to - dot(point, axis)});
    }
    return least;
}

} // namespace ebbmark
