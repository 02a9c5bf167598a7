// SPDX-License-Identifier: GPL-3.0-or-later
// Where a trap could stand in a box-shaped room.
#pragma once

#include "forecast/trap_cells.hpp"

#include <array>
#include <string>
#include <vector>

namespace ebbmark {

/// What no trap may hold or reach into.
struct KeptClear {
    std::vector<Point> points; ///< loudspeakers, microphones
    std::vector<RoomPart> bodies =
        {}; ///< solid parts, the way to doors and niches; kind and name don't matter
};

struct FreePlace {
    std::string where; ///< in words, after "stands"
    PlacedTrap trap;   ///< its face turned on its side where it lies along the ceiling
};

/// Of the upright corners, the edges of the ceiling and the middles of walls and ceiling those where the trap
/// fits, is in no other trap's way and leaves clear what must be. A frame with strips stands as a box across
/// a corner, and so does what is one already.
std::vector<FreePlace> free_places(const Box& box, const TrapPlan& plan,
                                   const std::vector<PlacedTrap>& others, const KeptClear& clear,
                                   bool box_across);

/// Whether all fit, none is in another's way and all leave clear what must be.
bool stand_clear(const Box& box, const std::vector<PlacedTrap>& traps, const KeptClear& clear);

/// Its outline seen from above, x and y of each corner.
std::vector<std::array<double, 2>> plan_outline(const Box& box, const PlacedTrap& trap);

} // namespace ebbmark
