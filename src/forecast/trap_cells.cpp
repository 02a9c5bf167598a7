// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/trap_cells.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr int steps = 2; // of a slanted face

class Builder {
  public:
    explicit Builder(const Box& box) { room_.shape.box = box; }

    void add(const PlacedTrap& trap) {
        const auto walls = covered_walls(room_.shape.box, trap.place);
        fluid_of_.clear();
        for (const LayerPlan& layer : trap.plan.layers)
            fluid_of_.push_back(fluid_for(layer));
        if (walls.size() == 1)
            add_flat(trap.plan, walls[0].rectangle);
        else
            add_corner(trap.plan, walls[0].rectangle, walls[1].rectangle);
    }
    RoomWithTraps take() { return std::move(room_); }

  private:
    int fluid_for(const LayerPlan& layer) {
        if (layer.material.kind != LayerKind::porous)
            return 0;
        room_.fluids.push_back(layer);
        return static_cast<int>(room_.fluids.size());
    }

    /// From depths before a wall to coordinates.
    std::array<double, 2> span(Wall wall, double from_m, double to_m) const {
        const double edge = room_.shape.box.edges_m[axis_of(wall)];
        return is_far(wall) ? std::array{edge - to_m, edge - from_m} : std::array{from_m, to_m};
    }

    void add_part(const std::array<std::array<double, 2>, 3>& spans, int fluid) {
        CavityPart part;
        for (std::size_t axis = 0; axis < 3; ++axis)
            part.from_m[axis] = spans[axis][0], part.to_m[axis] = spans[axis][1];
        part.fluid = fluid;
        room_.shape.parts.push_back(part);
    }

    void add_flat(const TrapPlan& plan, const WallRectangle& face) {
        const std::size_t normal = axis_of(face.wall);
        const auto along = axes_along(face.wall);
        std::array<std::array<double, 2>, 3> spans{};
        for (std::size_t i = 0; i < 2; ++i)
            spans[along[i]] = {face.from_m[i], face.to_m[i]};
        double depth = 0;
        for (std::size_t i = 0; i < plan.layers.size(); ++i) {
            const LayerPlan& layer = plan.layers[i];
            if (layer.material.kind == LayerKind::cloth) {
                room_.cloths.push_back(layer);
                room_.shape.screens.push_back({normal, span(face.wall, depth, depth)[0], face.from_m,
                                               face.to_m, static_cast<int>(room_.cloths.size()) - 1});
                continue;
            }
            spans[normal] = span(face.wall, depth, depth + layer.thickness_m);
            add_part(spans, fluid_of_[i]);
            depth += layer.thickness_m;
        }
        if (plan.open_sides)
            return;
        spans[normal] = span(face.wall, 0, depth);
        for (const std::size_t side : along)
            for (const double at : spans[side]) {
                CavityScreen screen{side, at, {}, {}, CavityScreen::closed};
                for (std::size_t axis = 0, i = 0; axis < 3; ++axis)
                    if (axis != side)
                        screen.from_m[i] = spans[axis][0], screen.to_m[i] = spans[axis][1], ++i;
                room_.shape.screens.push_back(screen);
            }
    }

    /// Cells in steps along both legs, i + j < steps; their edge keeps the triangle's area.
    void add_corner(const TrapPlan& plan, const WallRectangle& one, const WallRectangle& other) {
        const std::size_t a = axis_of(other.wall), b = axis_of(one.wall), third = 3 - a - b;
        const auto side = [](const WallRectangle& leg, std::size_t axis) {
            const std::size_t i = axes_along(leg.wall)[0] == axis ? 0 : 1;
            return std::array{leg.from_m[i], leg.to_m[i]};
        };
        const auto leg_a = side(one, a);
        const double leg = leg_a[1] - leg_a[0], edge = leg / std::sqrt(steps * (steps + 1.0));
        std::array<std::array<double, 2>, 3> spans{};
        spans[third] = side(one, third);
        for (int i = 0; i < steps; ++i)
            for (int j = 0; i + j < steps; ++j) {
                spans[a] = span(other.wall, i * edge, (i + 1) * edge);
                spans[b] = span(one.wall, j * edge, (j + 1) * edge);
                // Behind the face by so much, at the cell's middle; the outermost row lies at the face.
                const double behind = (steps - 0.5 - (i + j)) / steps * leg / std::numbers::sqrt2;
                add_part(spans, fluid_behind(plan, behind));
            }
        room_.notes.push_back(plan.name + ": across a corner, its slanted face is modelled as two steps of "
                                          "the same volume, without cloth and closed ends");
    }

    int fluid_behind(const TrapPlan& plan, double behind_m) const {
        double depth = 0;
        for (std::size_t i = plan.layers.size(); i-- > 0;) {
            if (plan.layers[i].material.kind == LayerKind::cloth)
                continue;
            depth += plan.layers[i].thickness_m;
            if (behind_m <= depth)
                return fluid_of_[i];
        }
        return 0;
    }

    RoomWithTraps room_;
    std::vector<int> fluid_of_;
};

} // namespace

RoomWithTraps room_with_traps(const Box& box, const std::vector<PlacedTrap>& traps) {
    Builder builder(box);
    for (const PlacedTrap& trap : traps)
        builder.add(trap);
    return builder.take();
}

CavityMedia media_of(const RoomWithTraps& room, const Medium& air, const LayerDraw& draw, bool empty) {
    CavityMedia media;
    media.air = air;
    for (const LayerPlan& plan : room.fluids) {
        const Layer layer = acoustic_layer(plan, draw);
        media.fluids.push_back([=](std::complex<double> hz) {
            if (empty)
                return EquivalentFluid{};
            return layer.pores ? porous_fluid(hz, *layer.pores, air) : miki(hz, layer.flow_resistivity);
        });
    }
    const double rho_c = air.density_kg_m3 * air.speed_of_sound;
    // Air through the meshes: a resistance so small that nothing is lost in it.
    constexpr double open = 1e-4;
    for (const LayerPlan& plan : room.cloths)
        media.cloths.push_back(empty ? open
                                     : std::max(open, acoustic_layer(plan, draw).flow_resistance / rho_c));
    return media;
}

} // namespace ebbmark
