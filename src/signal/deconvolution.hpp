// SPDX-License-Identifier: GPL-3.0-or-later
// From a recorded sweep to the impulse response, by linear (never circular) spectral division.
#pragma once

#include "base/signal.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace ebbmark {

/// One sweep as it was played, and what it reaches.
struct Excitation {
    Signal sweep;       ///< one repeat, without silence
    double from_hz = 0; ///< the frequencies that it covers
    double to_hz = 0;
    double harmonic_2_lead_s = 0; ///< how early the second harmonic's response lies; 0: not known
    int repeats = 1;
    double repeat_period_s = 0; ///< start to start; 0 with one repeat
};

struct Deconvolved {
    Signal response; ///< starts `lead_s` before the direct sound
    double lead_s = 0;
    double delay_s = 0;   ///< from the recording's start to the sweep's arrival
    double drift_ppm = 0; ///< positive: the recorder's clock runs fast; 0 with a single sweep
    bool drift_known = false;
    int sweeps_used = 0;
    double peak_over_noise_db = 0; ///< of the whole response
};

/// The impulse response in `recording`. Start delay unknown, extra seconds tolerated, repeats averaged.
/// `loopback` (empty: none) is the electrical loopback recorded with it: its response and delay are removed.
/// Throws Error(unusable) where the sweep is not in the recording, the rates differ, or it is too short.
Deconvolved deconvolve(const Signal& recording, const Excitation& excitation, const Signal& loopback = {});

} // namespace ebbmark
