// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/curve.hpp"
#include "decay/decay.hpp"

namespace ebbmark {

/// Largest curvature in per cent that a single slope shows by chance in 5 % of responses, for B · T of the
/// decay. Above it, a decay is bent.
double curvature_limit_percent(double bandwidth_time);

/// Names the decay's shape from its curvature, and both decay times where it is a double slope.
void judge_shape(BandDecay& decay, const EnergyCurve& curve);

} // namespace ebbmark
