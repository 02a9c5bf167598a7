// SPDX-License-Identifier: GPL-3.0-or-later
// Where a trap could stand in a box-shaped room.
#pragma once

#include "forecast/trap_cells.hpp"

#include <array>
#include <span>
#include <string>
#include <vector>

namespace ebbmark {

struct FreePlace {
    std::string where; ///< in words, after "stands"
    PlacedTrap trap;   ///< its face turned on its side where it lies along the ceiling
};

/// Of the upright corners, the edges of the ceiling and the middles of walls and ceiling those where the trap
/// fits, is in no other trap's way and holds none of the points. A frame with strips stands as a box across a
/// corner, and so does what is one already.
std::vector<FreePlace> free_places(const Box& box, const TrapPlan& plan,
                                   const std::vector<PlacedTrap>& others, std::span<const Point> clear,
                                   bool box_across);

/// Whether all fit, none is in another's way and none holds a point.
bool stand_clear(const Box& box, const std::vector<PlacedTrap>& traps, std::span<const Point> clear);

/// Its outline seen from above, x and y of each corner.
std::vector<std::array<double, 2>> plan_outline(const Box& box, const PlacedTrap& trap);

} // namespace ebbmark
