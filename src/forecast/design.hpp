// SPDX-License-Identifier: GPL-3.0-or-later
// Changes of a plan that a builder can make, and whether a forecast meets what is wanted.
#pragma once

#include "forecast/room_forecast.hpp"
#include "forecast/trap_cells.hpp"
#include "forecast/trap_places.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct DesignVariant {
    std::string what; ///< in words
    std::vector<TrapForecast> traps;
    std::vector<std::optional<TrapPlace>> places; ///< of each; none where it found no room
};

/// A room with its planned traps, and what must stay clear.
struct DesignRoom {
    std::optional<Box> box; ///< without it more traps find no place, and none is moved
    std::vector<TrapPlace> places;
    KeptClear clear;
};

/// One change each, for all traps of one build together: depth, density, air gap, sides; one, two and four
/// more of it, in places that are free. `traps` as many as room.places.
std::vector<DesignVariant> design_variants(const std::vector<TrapForecast>& traps, const DesignRoom& room);

/// Each trap in each other place that is free: the upright corners, the edges of the ceiling, the middles of
/// walls and ceiling. None without a box.
std::vector<DesignVariant> moved_variants(const std::vector<TrapForecast>& traps, const DesignRoom& room);

/// The traps of a variant as they stand; nothing where one has no place, two are in each other's way or one
/// does not fit.
std::optional<std::vector<PlacedTrap>> standing(const DesignVariant& variant, const DesignRoom& room);

/// The variants that are likely to bring most first: by absorption area at random incidence, times the
/// squared pressure of the box's modes from `from_hz` to `to_hz` where each trap stands. A guess that costs
/// nothing.
void put_likely_first(std::vector<DesignVariant>& variants, const DesignRoom& room, double speed_of_sound,
                      double from_hz, double to_hz);

/// Volume of all porous layers as they stand.
double wool_m3(const std::vector<TrapForecast>& traps);

/// What a plan is to reach.
struct DesignAim {
    double from_hz = 0, to_hz = 0;                ///< nominal, of the question
    std::optional<double> at_least_percent;       ///< by which the mean decay of the question is to fall
    std::vector<std::optional<double>> highest_s; ///< per band of the forecast; empty: no target
};

/// Change of the geometric mean decay in the question's bands that the forecast covers. Nothing where it
/// covers less than half of them: below the Schroeder frequency there is no decay from diffuse-field
/// formulas.
std::optional<double> question_change_percent(const RoomForecast& forecast, const DesignAim& aim);

/// Whether the forecast's middle values meet the aim in all that it covers; nothing where there is no aim or
/// where it covers too little of it.
std::optional<bool> meets(const RoomForecast& forecast, const DesignAim& aim);

} // namespace ebbmark
