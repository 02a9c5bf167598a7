// SPDX-License-Identifier: GPL-3.0-or-later
// How often the truth lies in the intervals of modes and bands, the truth being another grid with other wool
// in each trap, other walls (reactive too), and everything 2 cm elsewhere.
#pragma once

#include <cstdint>

namespace ebbmark {

/// Prints the shares. Takes several seconds a room.
void judge_modal_forecasts(int rooms, std::uint64_t first_seed);

} // namespace ebbmark
