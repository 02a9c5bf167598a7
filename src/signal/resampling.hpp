// SPDX-License-Identifier: GPL-3.0-or-later
// The same sound at another rate. The only place that knows soxr.
#pragma once

#include <span>
#include <vector>

namespace ebbmark {

/// Sample k of the result is the sound at input sample k · step; 0.01 ≤ step ≤ 100. Frequencies up to 0.91 of
/// the lower of both Nyquist limits are kept within 0.002 dB, images and aliases are 160 dB down, time zero
/// stays. Throws std::bad_alloc where memory is short.
std::vector<double> resampled(std::span<const double> samples, double step);

} // namespace ebbmark
