// SPDX-License-Identifier: GPL-3.0-or-later
// How far each mode's decay changed, and how surely: what the fits state, and what the positions themselves
// say when some of them are left out.
#pragma once

#include "ringing/leave_outs.hpp"
#include "ringing/pairing.hpp"
#include "verdict/mode_change.hpp"

#include <vector>

namespace ebbmark {

/// Whether both states were measured at the same places.
enum class PairedPlaces { same, different };

/// The pairs that have a state before, in their order, as compare() takes them. New ones have none: they are
/// what new_modes() tells. Variance of a change (J. W. Tukey's jackknife, R. G. Miller, Biometrika 61 (1974)
/// 1): at the same places that of the leave-outs' differences, not less than a quarter of what the fits
/// state; at other places, state by state, that of the leave-outs, not less than what the fit states.
/// A mode that is lost in more than a fifth of the leave-outs has no change.
std::vector<ModePair> mode_pairs(const ResampledRinging& before, const ResampledRinging& after,
                                 const std::vector<PairedMode>& pairs, PairedPlaces places);

/// Indices into `after` of modes that were not told apart before, by frequency.
std::vector<std::size_t> new_modes(const std::vector<PairedMode>& pairs);

} // namespace ebbmark
