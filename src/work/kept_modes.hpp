// SPDX-License-Identifier: GPL-3.0-or-later
// A forecast mode by mode takes long: it is kept in the job with a digest of all that it rests on, and taken
// from there while that is the same.
#pragma once

#include "forecast/modal_forecast.hpp"
#include "job/results.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace ebbmark {

/// Of every figure that the forecast depends on, and of this program's version.
MadeFrom modes_made_from(const ModalRoom& room, const std::vector<PlacedTrap>& traps, int draws,
                         std::uint64_t seed);

/// Nothing where none is kept, it was made from something else, or the file is not whole.
std::optional<ModalForecast> kept_modes(const JobFolder& job, const MadeFrom& made_from);

/// Does nothing in a job that keeps no results. Throws Error(unusable) as write_result does.
void keep_modes(const JobFolder& job, const ModalForecast& forecast, const MadeFrom& made_from);

} // namespace ebbmark
