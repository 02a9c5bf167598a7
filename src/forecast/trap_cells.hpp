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

/// The room with its traps. Porous layers count as fluids in the order of traps and layers, cloths likewise.
/// Closed sides are thin and rigid. Across a corner the slanted face becomes two steps of the same volume;
/// its cloth and closed ends are left out.
struct RoomWithTraps {
    CavityShape shape;
    std::vector<LayerPlan> fluids, cloths;
    std::vector<std::string> notes; ///< what is left out
};

/// Throws Error(unusable) where a trap does not fit.
RoomWithTraps room_with_traps(const Box& box, const std::vector<PlacedTrap>& traps);

/// Their media; `draw` holds for every layer. `empty`: air in place of the wool, no cloth (all but open).
CavityMedia media_of(const RoomWithTraps& room, const Medium& air, const LayerDraw& draw, bool empty);

} // namespace ebbmark
