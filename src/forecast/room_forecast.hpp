// SPDX-License-Identifier: GPL-3.0-or-later
// What traps do to a room above its Schroeder frequency, from the decay that was measured before.
#pragma once

#include "base/measured.hpp"
#include "forecast/trap.hpp"
#include "room/air.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// The room before the build.
struct RoomBefore {
    double volume_m3 = 0;
    double surface_m2 = 0;
    Air air;
    std::vector<Band> bands;
    std::vector<Measured> decay_s; ///< per band, with its 95 % interval
};

/// Of what the uncertainty of a predicted decay is made: standard uncertainties of ln T after, whose squares
/// add up to about that of the whole.
struct ForecastParts {
    double before = 0; ///< the decay before, as measured
    double wool = 0;   ///< figures of the materials, and how much the wool's frame moves
    double model = 0;  ///< what is not drawn one by one: dimensions, walls, formulas
};

struct ForecastBand {
    Band band;
    Measured before_s;
    Measured predicted_s; ///< with its 95 % interval; empty (`conditions`) below the Schroeder frequency
    Measured added_absorption_m2;            ///< with its 95 % interval, of the traps alone
    bool modal = false;                      ///< predicted from the room's modes, not by statistics
    std::optional<ForecastParts> parts = {}; ///< of the interval predicted
};

struct RoomForecast {
    std::optional<double> schroeder_hz; ///< below it these formulas mean nothing; nothing without any decay
    std::vector<ForecastBand> bands;
};

/// Sabine and Eyring after the measured absorption area, the air's part after ISO 9613-1, the traps' volume
/// and the wall behind them taken away. `draws` rooms are drawn: traps, decay before, formula; with none
/// there are middle values without intervals. Same seed, same result.
RoomForecast forecast(const RoomBefore& before, const std::vector<TrapForecast>& traps, int draws,
                      std::uint64_t seed);

enum class DecayFormula { sabine, eyring };

/// The decay after, from the decay before and the area added: Sabine's formula (or Eyring's, which needs the
/// surface). The wall behind the traps, of the room's mean coefficient, is taken away. Nothing where the
/// formula has no answer.
std::optional<double> decay_after_s(const RoomBefore& before, double before_s, double air_per_m,
                                    double added_m2, double covered_m2, double traps_m3,
                                    DecayFormula formula);

} // namespace ebbmark
