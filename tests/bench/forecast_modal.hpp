// SPDX-License-Identifier: GPL-3.0-or-later
// How often the truth lies in the intervals of modes and bands, the truth being another grid with other wool
// in each trap, other walls (reactive too), and everything 2 cm elsewhere.
#pragma once

#include "forecast/material.hpp"

#include <cstdint>
#include <vector>

namespace ebbmark {

/// Prints the shares. Takes several seconds a room.
void judge_modal_forecasts(int rooms, std::uint64_t first_seed);

/// Prints by how many times loose wool of 12 kg/m³ damps modes more than boards of the same depth, per
/// octave, depth and frame: the trade's rule for deep traps (common practice, no source) against the physics.
void compare_loose_with_dense(const std::vector<Material>& materials);

} // namespace ebbmark
