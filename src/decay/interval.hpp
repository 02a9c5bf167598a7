// SPDX-License-Identifier: GPL-3.0-or-later
// How sure a decay time is: scatter of single responses and the 95 % interval.
#pragma once

#include "base/measured.hpp"

namespace ebbmark {

enum class DecayQuantity { edt, t20, t30 };

/// Relative standard deviation of one response's decay time about the ensemble's, for bandwidth times decay
/// time: ISO 3382-1:2009 clause 7 with N = 1, n = 10 for T20 and T30 (from memory of the standard), for EDT
/// measured on band-limited Gaussian noise. Holds in a diffuse field.
double relative_scatter(DecayQuantity quantity, double bandwidth_time);

/// The decay time with its 95 % interval about the ensemble's: not symmetric, from measured coverage.
Measured with_interval(DecayQuantity quantity, double decay_s, double bandwidth_hz);

} // namespace ebbmark
