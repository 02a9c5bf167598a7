// SPDX-License-Identifier: GPL-3.0-or-later
// Early against late energy and centre time: ISO 3382-1:2009, A.2.3 and A.2.4.
#pragma once

#include "decay/curve.hpp"
#include "decay/decay.hpp"

namespace ebbmark {

/// Decay range that values of the curve's start need. ISO 3382-1:2009, 5.3.3 asks for 10 dB below the range;
/// here the stricter 15 dB below EDT's, because the start of the curve weighs most.
constexpr double needed_range_early_db = 25;

/// Fills C50, C80, D50 and Ts. `advance_s` is how far the filter moved the energy ahead; it is taken back, so
/// that onset and limits lie on one time axis. Empty for `too_short` where the decay range is not enough, and
/// for the filter where its own length, 1 / B, exceeds the limit.
void add_clarity(BandDecay& decay, const EnergyCurve& curve, double advance_s, Empty too_short);

} // namespace ebbmark
