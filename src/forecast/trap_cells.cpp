// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/trap_cells.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

bool is_porous(const LayerPlan& layer) {
    return layer.material.kind == LayerKind::porous;
}

class Builder {
  public:
    Builder(const Box& box, int steps) : steps_(steps) { room_.shape.box = box; }

    void add(const PlacedTrap& trap) {
        const auto walls = covered_walls(room_.shape.box, trap.place);
        if (walls.size() == 1)
            add_flat(trap.plan, walls[0].rectangle);
        else
            add_corner(trap.plan, walls[0].rectangle, walls[1].rectangle);
    }
    RoomWithTraps take() { return std::move(room_); }

  private:
    /// Air where there is no wool in it.
    int fluid_of(CellFluid fluid) {
        if (fluid.parts.empty())
            return 0;
        room_.fluids.push_back(std::move(fluid));
        return static_cast<int>(room_.fluids.size());
    }
    int cloth_of(std::vector<LayerPlan> layers, double area_ratio) {
        room_.cloths.push_back({std::move(layers), area_ratio});
        return static_cast<int>(room_.cloths.size()) - 1;
    }

    /// From depths before a wall to coordinates.
    std::array<double, 2> span(Wall wall, double from_m, double to_m) const {
        const double edge = room_.shape.box.edges_m[axis_of(wall)];
        return is_far(wall) ? std::array{edge - to_m, edge - from_m} : std::array{from_m, to_m};
    }

    void add_part(const std::array<std::array<double, 2>, 3>& spans, CavityPart part) {
        for (std::size_t axis = 0; axis < 3; ++axis)
            part.from_m[axis] = spans[axis][0], part.to_m[axis] = spans[axis][1];
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
                room_.shape.screens.push_back(
                    {normal, span(face.wall, depth, depth)[0], face.from_m, face.to_m, cloth_of({layer}, 1)});
                continue;
            }
            spans[normal] = span(face.wall, depth, depth + layer.thickness_m);
            CavityPart part;
            part.fluid = is_porous(layer) ? fluid_of({{{layer, 1}}}) : 0;
            add_part(spans, part);
            depth += layer.thickness_m;
        }
        if (plan.open_sides)
            return;
        spans[normal] = span(face.wall, 0, depth);
        for (const std::size_t side : along)
            for (const double at : spans[side])
                add_screen(side, at, spans, CavityScreen::closed);
    }

    void add_screen(std::size_t normal, double at_m, const std::array<std::array<double, 2>, 3>& spans,
                    int cloth) {
        CavityScreen screen{normal, at_m, {}, {}, cloth};
        for (std::size_t axis = 0, i = 0; axis < 3; ++axis)
            if (axis != normal)
                screen.from_m[i] = spans[axis][0], screen.to_m[i] = spans[axis][1], ++i;
        room_.shape.screens.push_back(screen);
    }

    /// Cells in steps along both legs, i + j < steps; the outermost row is half outside.
    void add_corner(const TrapPlan& plan, const WallRectangle& one, const WallRectangle& other) {
        const std::size_t a = axis_of(other.wall), b = axis_of(one.wall), third = 3 - a - b;
        const auto side = [](const WallRectangle& leg, std::size_t axis) {
            const std::size_t i = axes_along(leg.wall)[0] == axis ? 0 : 1;
            return std::array{leg.from_m[i], leg.to_m[i]};
        };
        const auto leg_a = side(one, a);
        const double leg = leg_a[1] - leg_a[0], edge = leg / steps_;
        std::vector<CavityPart> rows(at(steps_));
        for (int row = 0; row < steps_; ++row) {
            CellFluid fluid = fluid_in_row(plan, row, leg / std::numbers::sqrt2);
            rows[at(row)].step = true;
            rows[at(row)].fluid = fluid_of(fluid);
            fluid.beside = true;
            if (rows[at(row)].fluid != 0)
                rows[at(row)].grain = {third, fluid_of(std::move(fluid))};
        }
        std::vector<LayerPlan> cloths;
        for (const LayerPlan& layer : plan.layers)
            if (layer.material.kind == LayerKind::cloth)
                cloths.push_back(layer);
        const bool covered = !cloths.empty();
        const int cloth =
            covered ? cloth_of(std::move(cloths), 2 * steps_ * edge / (leg * std::numbers::sqrt2)) : 0;
        std::array<std::array<double, 2>, 3> spans{};
        spans[third] = side(one, third);
        for (int i = 0; i < steps_; ++i)
            for (int j = 0; i + j < steps_; ++j) {
                spans[a] = span(other.wall, i * edge, (i + 1) * edge);
                spans[b] = span(one.wall, j * edge, (j + 1) * edge);
                add_part(spans, rows[at(i + j)]);
                if (i + j == steps_ - 1 && covered) {
                    add_screen(a, spans[a][is_far(other.wall) ? 0 : 1], spans, cloth);
                    add_screen(b, spans[b][is_far(one.wall) ? 0 : 1], spans, cloth);
                }
                if (!plan.open_sides)
                    for (const double end : spans[third])
                        add_screen(third, end, spans, CavityScreen::closed);
            }
    }

    /// What lies in the cells of one row along the face, counted from the corner: cut by planes parallel to
    /// the face.
    CellFluid fluid_in_row(const TrapPlan& plan, int row, double height_m) const {
        // Of a cell's area, how much lies nearer to the corner than a plane at this depth behind the face.
        const auto nearer = [&](double depth_m) {
            const double along = std::clamp(steps_ * (1 - depth_m / height_m) - row, 0.0, 2.0);
            return along < 1 ? along * along / 2 : 1 - (2 - along) * (2 - along) / 2;
        };
        CellFluid fluid;
        double depth = 0;
        for (std::size_t i = plan.layers.size(); i-- > 0;) {
            const LayerPlan& layer = plan.layers[i];
            const double outer = nearer(depth), inner = nearer(depth += layer.thickness_m);
            if (is_porous(layer) && outer - inner > 1e-6)
                fluid.parts.push_back({layer, outer - inner});
        }
        return fluid;
    }

    int steps_;
    RoomWithTraps room_;
};

/// Fluids in one cell, the rest is air. Their compressibilities add up by their shares; so do the densities
/// of those that sound goes through one after the other, and the reciprocals of the densities of those beside
/// each other. Relative to air, density is Z k and compressibility k / Z.
EquivalentFluid mixed(const std::vector<std::pair<EquivalentFluid, double>>& parts, bool beside) {
    std::complex<double> density = 1, mobility = 1, compressibility = 1;
    for (const auto& [fluid, share] : parts) {
        const auto own = fluid.impedance * fluid.wave_number;
        density += share * (own - 1.0);
        mobility += share * (1.0 / own - 1.0);
        compressibility += share * (fluid.wave_number / fluid.impedance - 1.0);
    }
    if (beside)
        density = 1.0 / mobility;
    // One root for both: their signs go together.
    const auto impedance = std::sqrt(density / compressibility);
    return {impedance, density / impedance};
}

} // namespace

RoomWithTraps room_with_traps(const Box& box, const std::vector<PlacedTrap>& traps, int steps) {
    Builder builder(box, steps);
    for (const PlacedTrap& trap : traps)
        builder.add(trap);
    return builder.take();
}

CavityMedia media_of(const RoomWithTraps& room, const Medium& air, const LayerDraw& draw,
                     TrapFilling filling) {
    const bool empty = filling == TrapFilling::air;
    CavityMedia media;
    media.air = air;
    for (const CellFluid& cell : room.fluids) {
        std::vector<std::pair<Layer, double>> layers;
        for (const auto& [plan, share] : cell.parts)
            layers.emplace_back(acoustic_layer(plan, draw), share);
        media.fluids.push_back([=, beside = cell.beside](std::complex<double> hz) {
            if (empty)
                return EquivalentFluid{};
            std::vector<std::pair<EquivalentFluid, double>> parts;
            for (const auto& [layer, share] : layers)
                parts.emplace_back(layer.pores ? porous_fluid(hz, *layer.pores, air)
                                               : miki(hz, layer.flow_resistivity),
                                   share);
            return mixed(parts, beside);
        });
    }
    const double rho_c = air.density_kg_m3 * air.speed_of_sound;
    // Air through the meshes: a resistance so small that nothing is lost in it.
    constexpr double open = 1e-4;
    for (const CellCloth& cloth : room.cloths) {
        double resistance = 0;
        for (const LayerPlan& layer : cloth.layers)
            resistance += cloth.area_ratio * acoustic_layer(layer, draw).flow_resistance / rho_c;
        media.cloths.push_back(empty ? open : std::max(open, resistance));
    }
    return media;
}

} // namespace ebbmark
