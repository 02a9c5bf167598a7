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

/// The wood that a frame's sides along strips of this direction take from each edge of the face: as thick as
/// the strips. 0 without such strips: then the frame is not known.
double frame_board_m(const TrapPlan& plan, Dividers::Run run) {
    double board = 0;
    for (const LayerPlan& layer : plan.layers)
        if (layer.dividers && layer.dividers->run == run)
            board = std::max(board, layer.dividers->thickness_m);
    return board;
}

/// From where to where strips stand in a frame this wide inside: a channel, the first strip, and the same from
/// the other side. Nothing where there are less than two strips.
std::optional<std::array<double, 2>> between_strips_m(const Dividers& strips, double width_m) {
    const double channel = strips.spacing_m + strips.thickness_m;
    const double count = std::round((width_m - strips.spacing_m) / channel);
    if (count < 2)
        return {};
    const double half = (count * channel - strips.spacing_m) / 2;
    return std::array{width_m / 2 - half, width_m / 2 + half};
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
        for (std::size_t i = 0; i < 2; ++i) {
            const double board = frame_board_m(plan, i == 0 ? Dividers::Run::height : Dividers::Run::width);
            spans[along[i]] = {face.from_m[i] + board, face.to_m[i] - board};
        }
        double depth = 0;
        for (std::size_t i = 0; i < plan.layers.size(); ++i) {
            const LayerPlan& layer = plan.layers[i];
            if (layer.material.kind == LayerKind::cloth) {
                add_screen(normal, span(face.wall, depth, depth)[0], spans, cloth_of({layer}, 1));
                continue;
            }
            spans[normal] = span(face.wall, depth, depth + layer.thickness_m);
            CavityPart part;
            LayerPlan filling = layer;
            filling.dividers.reset();
            part.fluid = is_porous(layer) ? fluid_of({{{filling, 1}}}) : 0;
            add_part(spans, part);
            if (layer.dividers)
                add_strips(layer, normal, along, spans);
            depth += layer.thickness_m;
        }
        if (plan.open_sides)
            return;
        spans[normal] = span(face.wall, 0, depth);
        for (const std::size_t side : along)
            for (const double at : spans[side])
                add_screen(side, at, spans, CavityScreen::closed);
    }

    /// Between the first and the last strip nothing moves across them; what lies beside them stays as it is.
    void add_strips(const LayerPlan& layer, std::size_t normal, const std::array<std::size_t, 2>& face,
                    std::array<std::array<double, 2>, 3> spans) {
        const bool upright = layer.dividers->run == Dividers::Run::height;
        const std::size_t across = face[upright ? 0 : 1], along = face[upright ? 1 : 0];
        const auto between = between_strips_m(*layer.dividers, spans[across][1] - spans[across][0]);
        if (!between)
            return;
        spans[across] = {spans[across][0] + (*between)[0], spans[across][0] + (*between)[1]};
        CavityPart part;
        const double longer = strips_of(*layer.dividers, layer.thickness_m).lengthening;
        part.fluid = fluid_of({{{layer, 1, longer}}});
        part.density[normal] = part.fluid;
        part.density[across] = CavityPart::still;
        part.density[along] = longer > 1 ? fluid_of({{{layer, 1, 1}}}) : part.fluid;
        add_part(spans, part);
        for (const double at : spans[across])
            add_screen(across, at, spans, CavityScreen::closed);
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
                rows[at(row)].density[third] = fluid_of(std::move(fluid));
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
                const EquivalentFluid wool = layer.pores ? porous_fluid(hz, *layer.pores, air)
                                                         : miki(hz, layer.flow_resistivity);
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
