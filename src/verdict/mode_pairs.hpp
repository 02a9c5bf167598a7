// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ringing/pairing.hpp"
#include "verdict/mode_change.hpp"

#include <vector>

namespace ebbmark {

/// Modes of two states, paired, as compare() takes them. A mode that vanished stays, with its bound.
/// New ones have no state before: they are what new_modes() tells.
std::vector<ModePair> mode_pairs(const Ringing& before, const Ringing& after,
                                 const std::vector<PairedMode>& pairs);

/// Indices into `after` of modes that were not told apart before, by frequency.
std::vector<std::size_t> new_modes(const std::vector<PairedMode>& pairs);

} // namespace ebbmark
