// SPDX-License-Identifier: GPL-3.0-or-later
// Traps as parts of the room for the wave equation.
#pragma once

#include "forecast/trap.hpp"
#include "room/cavity.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct PlacedTrap {
    TrapPlan plan;
    TrapPlace place;
};

/// One porous layer, or several in the same cells: their shares by volume, the rest is air.
struct CellFluid {
    struct Part {
        LayerPlan layer;
        double share = 1;
        double lengthening = 1; ///< of the way between strips, see Strips
    };
    std::vector<Part> parts;
    bool beside = false; ///< sound goes along them, not through one after the other
};

/// Cloths one on the other. Their flow resistance counts as much more as they have area here over what they
/// really have.
struct CellCloth {
    std::vector<LayerPlan> layers;
    double area_ratio = 1;
};

/// The room with its traps. Closed sides are thin and rigid. Across a corner cells are cut along the slanted
/// face; each layer keeps its volume; all cloth lies on the face and keeps its resistance.
struct RoomWithTraps {
    CavityShape shape;
    std::vector<CellFluid> fluids;
    std::vector<CellCloth> cloths;
};

/// Edge of the cells in a corner, about.
inline constexpr double corner_step_m = 0.08;

/// Throws Error(unusable) where a trap does not fit.
RoomWithTraps room_with_traps(const RoomShape& room, const std::vector<PlacedTrap>& traps,
                              double step_m = corner_step_m);

/// `air`: in place of the wool, and no cloth (all but open).
enum class TrapFilling { wool, air };

/// Their media; `draw` holds for every layer.
CavityMedia media_of(const RoomWithTraps& room, const Medium& air, const LayerDraw& draw,
                     TrapFilling filling);

} // namespace ebbmark
