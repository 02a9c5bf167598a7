// SPDX-License-Identifier: GPL-3.0-or-later
// What can be wrong with a recording.
#pragma once

#include <cstddef>
#include <span>

namespace ebbmark {

/// Samples in flat tops: at least 3 equal samples in a row at the recording's greatest magnitude, entered by
/// a jump of more than 2 % of it or held for at least half a millisecond. A slow sine's own top is neither:
/// it is flat to 16 bits for a few samples only.
std::size_t clipped_samples(std::span<const double> samples, double rate_hz);

} // namespace ebbmark
