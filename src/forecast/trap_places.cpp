// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/trap_places.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

bool holds(const CavityPart& part, const Point& point) {
    for (std::size_t axis = 0; axis < 3; ++axis)
        if (point[axis] < part.from_m[axis] || point[axis] > part.to_m[axis])
            return false;
    return true;
}

bool meet(const CavityPart& a, const CavityPart& b) {
    constexpr double touching_m = 0.002;
    for (std::size_t axis = 0; axis < 3; ++axis)
        if (a.to_m[axis] <= b.from_m[axis] + touching_m || b.to_m[axis] <= a.from_m[axis] + touching_m)
            return false;
    return true;
}

/// Places that a builder would think of, whether free or not.
std::vector<FreePlace> thinkable_places(const Box& box, const TrapPlan& plan, bool as_box) {
    std::vector<FreePlace> places;
    const auto [length, width, height] = box.edges_m;
    TrapPlan turned = plan;
    std::swap(turned.width_m, turned.height_m);
    const double up = (height - plan.height_m) / 2;
    for (const Wall end : {Wall::front, Wall::rear})
        for (const Wall side : {Wall::left, Wall::right})
            places.push_back({fmt::format("in the {} {} corner", name(end), name(side)),
                              {plan, {plan.width_m, plan.height_m, end, side, 0, up}}});
    for (const Wall wall : {Wall::front, Wall::rear, Wall::left, Wall::right}) {
        const double along = box.edges_m[axes_along(wall)[0]];
        places.push_back(
            {fmt::format("in the edge of {} wall and ceiling", name(wall)),
             {turned,
              {turned.width_m, turned.height_m, wall, Wall::ceiling, (along - turned.width_m) / 2, 0}}});
        places.push_back({fmt::format("in the middle of the {} wall", name(wall)),
                          {plan, {plan.width_m, plan.height_m, wall, {}, (along - plan.width_m) / 2, up}}});
    }
    places.push_back({"in the middle of the ceiling",
                      {plan,
                       {plan.width_m,
                        plan.height_m,
                        Wall::ceiling,
                        {},
                        (length - plan.width_m) / 2,
                        (width - plan.height_m) / 2}}});
    for (FreePlace& place : places)
        place.trap.place.box_across = as_box && place.trap.place.corner_with;
    return places;
}

} // namespace

bool stand_clear(const Box& box, const std::vector<PlacedTrap>& traps, const KeptClear& clear) {
    std::vector<std::vector<CavityPart>> parts;
    try {
        for (const PlacedTrap& trap : traps) {
            parts.push_back(room_with_traps({box}, {trap}).shape.parts);
            for (const CavityPart& part : parts.back())
                for (std::size_t axis = 0; axis < 3; ++axis)
                    if (part.from_m[axis] < -1e-9 || part.to_m[axis] > box.edges_m[axis] + 1e-9)
                        return false;
        }
    } catch (const Error&) {
        return false; // it does not fit its wall
    }
    for (std::size_t one = 0; one < parts.size(); ++one)
        for (const CavityPart& part : parts[one]) {
            if (std::any_of(clear.points.begin(), clear.points.end(),
                            [&](const Point& point) { return holds(part, point); }) ||
                std::any_of(clear.bodies.begin(), clear.bodies.end(), [&](const RoomPart& body) {
                    return meet(part, CavityPart{body.from_m, body.to_m});
                }))
                return false;
            for (std::size_t other = 0; other < one; ++other)
                if (std::any_of(parts[other].begin(), parts[other].end(),
                                [&](const CavityPart& with) { return meet(part, with); }))
                    return false;
        }
    return true;
}

std::vector<FreePlace> free_places(const Box& box, const TrapPlan& plan,
                                   const std::vector<PlacedTrap>& others, const KeptClear& clear,
                                   bool box_across) {
    const bool strips = std::any_of(plan.layers.begin(), plan.layers.end(),
                                    [](const LayerPlan& layer) { return layer.dividers.has_value(); });
    std::vector<FreePlace> places = thinkable_places(box, plan, box_across || strips);
    std::erase_if(places, [&](const FreePlace& place) {
        std::vector<PlacedTrap> all = others;
        all.push_back(place.trap);
        return !stand_clear(box, all, clear);
    });
    return places;
}

std::vector<std::array<double, 2>> plan_outline(const Box& box, const PlacedTrap& trap) {
    std::array<double, 3> from = box.edges_m, to{};
    const auto reach = [&](std::size_t axis, double place) {
        from[axis] = std::min(from[axis], place), to[axis] = std::max(to[axis], place);
    };
    const auto place_of = [&](Wall wall, double depth_m) {
        return is_far(wall) ? box.edges_m[axis_of(wall)] - depth_m : depth_m;
    };
    const auto walls = covered_walls(box, trap.place, trap.plan.depth_m());
    for (const CoveredWall& covered : walls) {
        const WallRectangle& face = covered.rectangle;
        const auto along = axes_along(face.wall);
        for (std::size_t i = 0; i < 2; ++i)
            reach(along[i], face.from_m[i]), reach(along[i], face.to_m[i]);
        reach(axis_of(face.wall), place_of(face.wall, 0));
        if (walls.size() == 1)
            reach(axis_of(face.wall), place_of(face.wall, trap.plan.depth_m()));
    }
    const auto upright = [](Wall wall) { return axis_of(wall) < 2; };
    if (walls.size() == 1 || !upright(walls[0].rectangle.wall) || !upright(walls[1].rectangle.wall))
        return {{from[0], from[1]}, {to[0], from[1]}, {to[0], to[1]}, {from[0], to[1]}};
    auto corners = corner_outline(box, trap.place, trap.plan.depth_m());
    if (axis_of(trap.place.wall) == 1)
        for (auto& [x, y] : corners)
            std::swap(x, y);
    return corners;
}

} // namespace ebbmark
