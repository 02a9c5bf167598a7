// SPDX-License-Identifier: GPL-3.0-or-later
// What can be wrong with a recording, sample by sample.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace ebbmark {

/// Samples in flat tops: at least 3 equal samples in a row at the recording's highest or lowest value,
/// entered by a jump of more than 2 % of it, held for at least half a millisecond, or lower than the wave
/// around them would have been. A slow sine's own top is none of these: it is flat to 16 bits for a few
/// samples only.
std::size_t clipped_samples(std::span<const double> samples, double rate_hz);

/// Where samples were lost, repeated or replaced: the first sample after each break. There the wave does not
/// go on as the samples before foretell (autoregressive model of order 24, J. P. Burg 1975, over 21 ms): by
/// more than 12 times the usual error around it, and at once. A sound cannot do that: it rises with the room
/// and the microphone. Breaks closer than 100 ms are one. Not for clipped recordings: each corner of a flat
/// top is a break.
std::vector<std::size_t> breaks(std::span<const double> samples, double rate_hz);

} // namespace ebbmark
