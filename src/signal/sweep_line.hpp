// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/signal.hpp"

namespace ebbmark {

/// Whether a sound is the recording of an exponential sweep and no impulse response. In ten third octaves in
/// a row, the band's energy arrives later by an even step from band to band: a rising straight line in time
/// and log frequency (correlation over 0.97, no octave's step under 0.3 of the mean one), of at least 0.15 s
/// and of twice what the lowest band's filter can tell apart. In a response all bands begin together, low
/// ones last; bands of mere noise follow no line.
bool is_sweep_recording(const Signal& sound);

} // namespace ebbmark
