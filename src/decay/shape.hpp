// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/curve.hpp"
#include "decay/decay.hpp"

namespace ebbmark {

/// Curvature in per cent above which a decay of this B · T is bent: what a single slope exceeds by chance in
/// 5 % of responses, and at least the 10 % of ISO 3382-2.
double curvature_limit_percent(double bandwidth_time);

/// Names the decay's shape from its curvature, and both decay times where it is a double slope.
void judge_shape(BandDecay& decay, const EnergyCurve& curve);

} // namespace ebbmark
