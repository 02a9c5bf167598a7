// SPDX-License-Identifier: GPL-3.0-or-later
// What traps do to each mode of a box-shaped room, from how it rang before.
#pragma once

#include "base/measured.hpp"
#include "decay/decay.hpp"
#include "forecast/trap_cells.hpp"

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

/// A mode as it was measured before the build.
struct ModeBefore {
    double hz = 0;
    Measured t60_s;
    std::optional<std::array<int, 3>> order; ///< where it is named
};

struct ModalInput {
    Box box;
    Medium air;
    std::vector<PlacedTrap> traps;
    std::vector<ModeBefore> modes;
    std::vector<Band> bands;                        ///< with a decay before, lowest first
    std::vector<Measured> decay_s;                  ///< of each
    std::vector<std::pair<Point, Point>> positions; ///< source and microphone of each response
    double to_hz = 200;                             ///< modes are sought up to here
    int draws = 300;
    std::uint64_t seed = 1;
};

struct ForecastMode {
    double before_hz = 0;
    Measured before_t60_s;
    std::optional<std::array<int, 3>> order;
    std::optional<double> predicted_hz;
    Measured predicted_t60_s; ///< empty (`overlap`) where no mode after is like this one
    double overlap = 0;       ///< of the two shapes, 0 to 1
    double at_traps = 0;      ///< mean of p² in the traps over its mean in the room
    /// Pressure of the mode with the traps at half the height, x fastest, largest magnitude 1; rows along y.
    std::vector<double> plan_view;
};

struct ModalForecast {
    std::vector<ForecastMode> modes;
    std::vector<Measured> band_s; ///< T20 after, per band of the input; empty where not predicted
    double to_hz = 0;             ///< bands below are predicted by modes
    Box box;
    std::vector<CavityPart> traps;           ///< where they stand
    std::array<double, 3> wall_admittance{}; ///< fitted, at 63 Hz, per pair of walls
    std::vector<std::string> notes;
};

inline constexpr int plan_view_x = 24, plan_view_y = 18;
/// Below it two shapes are no pair.
inline constexpr double least_overlap = 0.6;

/// Throws Error(unusable) where a trap does not fit the room. `step` is told what part of the work is done.
ModalForecast modal_forecast(const ModalInput& input, const std::function<void(double)>& step = {});

} // namespace ebbmark
