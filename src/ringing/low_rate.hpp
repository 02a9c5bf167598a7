// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/signal.hpp"

#include <span>

namespace ebbmark {

/// The samples' content up to `to_hz` at about `samples_per_period` samples per period of it. What lies above
/// is faded out from 1.15 to 1.6 times `to_hz`; the new rate follows from the transform's size, so time is
/// kept exactly.
Signal at_low_rate(std::span<const double> samples, double rate_hz, double to_hz, double samples_per_period);

/// The lowest rate that at_low_rate() takes for this frequency.
double least_rate_hz(double to_hz);

} // namespace ebbmark
