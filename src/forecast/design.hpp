// SPDX-License-Identifier: GPL-3.0-or-later
// Changes of a plan that a builder can make, and whether a forecast meets what is wanted.
#pragma once

#include "forecast/room_forecast.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct DesignVariant {
    std::string what; ///< in words
    std::vector<TrapForecast> traps;
};

/// One change each: of a trap's depth, density, air gap, sides; one, two and four more of a trap.
std::vector<DesignVariant> design_variants(const std::vector<TrapForecast>& traps);

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
