// SPDX-License-Identifier: GPL-3.0-or-later
// What flat traps and those across corners are built of.
#pragma once

#include "forecast/trap_cells.hpp"
#include "room/shaped_room.hpp"

#include <array>
#include <utility>
#include <vector>

namespace ebbmark {

/// From where to where a part reaches along each axis.
using Spans = std::array<std::array<double, 2>, 3>;

class CellBuilder {
  public:
    explicit CellBuilder(const RoomShape& room) : box_(room.box) { room_.shape = cavity_of(room); }

    const Box& box() const { return box_; }
    /// The fluid's number for parts; 0, air, where there is no wool in it.
    int fluid_of(CellFluid fluid);
    int cloth_of(std::vector<LayerPlan> layers, double area_ratio);
    /// From depths before a wall to coordinates.
    std::array<double, 2> span(Wall wall, double from_m, double to_m) const;
    void add_part(const Spans& spans, CavityPart part);
    /// Returns its number, for parts and screens.
    int add_refinement(const Spans& spans, std::array<std::vector<double>, 3> lines_m);
    /// Across the axis `normal`, over what the spans hold of the two others.
    void add_screen(std::size_t normal, double at_m, const Spans& spans, int cloth,
                    std::optional<Wall> ajar_at = {}, int refinement = -1);
    RoomWithTraps take() { return std::move(room_); }

  private:
    Box box_;
    RoomWithTraps room_;
};

/// Throws Error(unusable) where it does not fit. `step_m`: edge of the cells along both walls.
void add_corner_trap(CellBuilder& builder, const PlacedTrap& trap, double step_m);

} // namespace ebbmark
