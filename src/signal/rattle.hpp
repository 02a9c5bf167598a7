// SPDX-License-Identifier: GPL-3.0-or-later
// A loudspeaker's rattle, or of what stands on it: sound far above the tone that is played, once each period.
#pragma once

#include "signal/disturbances.hpp"
#include "signal/excitation.hpp"

#include <span>

namespace ebbmark {

/// What the sweep plays `after_s` after its start, in Hz.
double played_hz(const Excitation& excitation, double after_s);

/// How alike the sound of a disturbance is to itself one period of the sweep's own tone later, −1 to 1: close
/// to 1 for any sum of its harmonics, near 0 for what has nothing to do with it. 0 outside the sweep, and
/// where the disturbance does not lie above the tone. `start` is the sample at which the sweep begins.
double likeness_after_period(std::span<const double> recording, double start, const Disturbance& disturbance,
                             const Excitation& excitation);

} // namespace ebbmark
