// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/curve.hpp"
#include "decay/decay.hpp"

namespace ebbmark {

/// How bent a decay is: ln(later decay time / earlier one) √(B · T earlier), from −5 to −15 dB against −15 dB
/// to 8 dB above the end of the range, −38 dB at most. Its scatter is the same at every B · T. Nothing where
/// the curve is too short.
std::optional<double> bend(const EnergyCurve& curve, double bandwidth_hz);

/// Whether the decay leaves a straight line further than a single slope does by chance at its B · T: another
/// sound within it, a strong late reflection, or a double slope.
bool crooked_beyond_chance(const BandDecay& decay);

/// Names the decay's shape, and both decay times where it is a double slope.
void judge_shape(BandDecay& decay, const EnergyCurve& curve);

} // namespace ebbmark
