// SPDX-License-Identifier: GPL-3.0-or-later
// The space that traps and parts of a room take up, and whether two of them would stand in one another.
#pragma once

#include "room/geometry.hpp"

#include <vector>

namespace ebbmark {

/// A convex prism: its corners in metres, and the directions of its edges, each once.
struct ConvexBody {
    std::vector<Point> corners_m;
    std::vector<Point> edges;
};

/// A body with edges along the room's.
ConvexBody box_body(const Point& from_m, const Point& to_m);

/// What a trap takes up: `depth_m` before its wall, its part of a corner, or a box across one. A trap without
/// depth, such as cloth, is a millimetre deep. Throws Error(unusable) where covered_walls() does.
ConvexBody trap_body(const Box& box, const TrapPlace& place, double depth_m);

/// How far one of the two must move at least until they only touch; 0 or less where they are apart. Source:
/// separating axes of two convex polyhedra, which are normals of faces and cross products of edges.
double overlap_m(const ConvexBody& a, const ConvexBody& b);

/// Whether they overlap by more than `tolerance_m`, or by more than half of what is thinner than that.
bool run_into(const ConvexBody& a, const ConvexBody& b, double tolerance_m);

/// How far below its surface the point lies; negative outside.
double inside_m(const ConvexBody& body, const Point& point);

} // namespace ebbmark
