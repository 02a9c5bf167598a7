// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/trap_cells.hpp"

#include "forecast/cell_builder.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

int CellBuilder::fluid_of(CellFluid fluid) {
    if (fluid.parts.empty())
        return 0;
    room_.fluids.push_back(std::move(fluid));
    return static_cast<int>(room_.fluids.size());
}

int CellBuilder::cloth_of(std::vector<LayerPlan> layers, double area_ratio) {
    room_.cloths.push_back({std::move(layers), area_ratio});
    return static_cast<int>(room_.cloths.size()) - 1;
}

std::array<double, 2> CellBuilder::span(Wall wall, double from_m, double to_m) const {
    const double edge = box().edges_m[axis_of(wall)];
    return is_far(wall) ? std::array{edge - to_m, edge - from_m} : std::array{from_m, to_m};
}

void CellBuilder::add_part(const Spans& spans, CavityPart part) {
    for (std::size_t axis = 0; axis < 3; ++axis)
        part.from_m[axis] = spans[axis][0], part.to_m[axis] = spans[axis][1];
    room_.shape.parts.push_back(part);
}

int CellBuilder::add_refinement(const Spans& spans, std::array<std::vector<double>, 3> lines_m) {
    CavityRefinement fine;
    for (std::size_t axis = 0; axis < 3; ++axis)
        fine.from_m[axis] = spans[axis][0], fine.to_m[axis] = spans[axis][1];
    fine.lines_m = std::move(lines_m);
    room_.shape.refinements.push_back(std::move(fine));
    return static_cast<int>(room_.shape.refinements.size()) - 1;
}

void CellBuilder::add_screen(std::size_t normal, double at_m, const Spans& spans, int cloth,
                             std::optional<Wall> ajar_at, int refinement) {
    CavityScreen screen{normal, at_m, {}, {}, cloth, ajar_at, refinement};
    for (std::size_t axis = 0, i = 0; axis < 3; ++axis)
        if (axis != normal)
            screen.from_m[i] = spans[axis][0], screen.to_m[i] = spans[axis][1], ++i;
    room_.shape.screens.push_back(screen);
}

namespace {

/// Between the first and the last strip nothing moves across them; what lies beside them stays as it is.
void add_strips(CellBuilder& builder, const LayerPlan& layer, std::size_t normal,
                const std::array<std::size_t, 2>& face, Spans spans) {
    const bool upright = layer.dividers->run == Dividers::Run::height;
    const std::size_t across = face[upright ? 0 : 1], along = face[upright ? 1 : 0];
    const double middle = (spans[across][0] + spans[across][1]) / 2;
    const double half = strips_in(*layer.dividers, spans[across][1] - spans[across][0]).between_m / 2;
    if (half == 0)
        return;
    spans[across] = {middle - half, middle + half};
    CavityPart part;
    const double longer = strips_of(*layer.dividers, layer.thickness_m).lengthening;
    part.fluid = builder.fluid_of({{{layer, 1, longer}}});
    part.density[normal] = part.fluid;
    part.density[across] = CavityPart::still;
    part.density[along] = longer > 1 ? builder.fluid_of({{{layer, 1, 1}}}) : part.fluid;
    builder.add_part(spans, part);
    for (const double at : spans[across])
        builder.add_screen(across, at, spans, CavityScreen::closed);
}

void add_flat_trap(CellBuilder& builder, const PlacedTrap& trap) {
    const TrapPlan& plan = trap.plan;
    const WallRectangle face = covered_walls(builder.box(), trap.place)[0].rectangle;
    const std::size_t normal = axis_of(face.wall);
    const auto along = axes_along(face.wall);
    Spans spans{};
    for (std::size_t i = 0; i < 2; ++i) {
        const double board = frame_board_m(plan, i == 0 ? Dividers::Run::height : Dividers::Run::width);
        spans[along[i]] = {face.from_m[i] + board, face.to_m[i] - board};
    }
    double depth = 0;
    for (const LayerPlan& layer : plan.layers) {
        spans[normal] = builder.span(face.wall, depth, depth + layer.thickness_m);
        if (layer.material.kind == LayerKind::cloth) {
            builder.add_screen(normal, builder.span(face.wall, depth, depth)[0], spans,
                               builder.cloth_of({layer}, 1));
            continue;
        }
        CavityPart part;
        LayerPlan filling = layer;
        filling.dividers.reset();
        part.fluid = is_porous(layer) ? builder.fluid_of({{{filling, 1}}}) : 0;
        builder.add_part(spans, part);
        if (layer.dividers)
            add_strips(builder, layer, normal, along, spans);
        depth += layer.thickness_m;
    }
    spans[normal] = builder.span(face.wall, 0, depth);
    const OpenSides& open = plan.open_sides;
    const bool left = left_is_smaller(face.wall);
    const std::array<std::array<bool, 2>, 2> is_open{
        {{left ? open.left : open.right, left ? open.right : open.left}, {open.bottom, open.top}}};
    for (std::size_t side = 0; side < 2; ++side)
        for (std::size_t end = 0; end < 2; ++end)
            if (!is_open[side][end])
                builder.add_screen(along[side], spans[along[side]][end], spans, CavityScreen::closed);
}

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

RoomWithTraps room_with_traps(const RoomShape& room, const std::vector<PlacedTrap>& traps, double step_m) {
    CellBuilder builder(room);
    for (const PlacedTrap& trap : traps)
        if (trap.place.corner_with)
            add_corner_trap(builder, trap, step_m);
        else
            add_flat_trap(builder, trap);
    return builder.take();
}

CavityMedia media_of(const RoomWithTraps& room, const Medium& air, const LayerDraw& draw,
                     TrapFilling filling) {
    const bool empty = filling == TrapFilling::air;
    CavityMedia media;
    media.air = air;
    for (const CellFluid& cell : room.fluids) {
        std::vector<std::pair<Layer, double>> layers;
        for (const auto& [plan, share, lengthening] : cell.parts) {
            layers.emplace_back(acoustic_layer(plan, draw), share);
            if (auto& strips = layers.back().first.strips)
                strips->lengthening = lengthening;
        }
        media.fluids.push_back([=, beside = cell.beside](std::complex<double> hz) {
            if (empty)
                return EquivalentFluid{};
            std::vector<std::pair<EquivalentFluid, double>> parts;
            for (const auto& [layer, share] : layers) {
                const EquivalentFluid wool =
                    layer.pores ? porous_fluid(hz, *layer.pores, air) : miki(hz, layer.flow_resistivity);
                parts.emplace_back(layer.strips ? between_strips(wool, *layer.strips) : wool, share);
            }
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
