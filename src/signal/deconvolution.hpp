// SPDX-License-Identifier: GPL-3.0-or-later
// From a recorded sweep to the impulse response, by linear (never circular) spectral division. Harmonic
// responses of the loudspeaker lie L ln n before the linear one (Farina 2000) and are cut off there.
#pragma once

#include "base/signal.hpp"
#include "signal/excitation.hpp"

#include <optional>

namespace ebbmark {

struct Deconvolved {
    Signal response;
    double lead_s = 0;               ///< from the response's start to the sweep's arrival (or the loopback's)
    double delay_s = 0;              ///< from the recording's start to the sweep's arrival
    std::optional<double> drift_ppm; ///< positive: the recorder's clock runs fast; needs two sweeps
    int sweeps_used = 0;
    double peak_over_noise_db = 0; ///< strongest sample over the median level of the whole result
};

/// The impulse response in `recording`: start delay unknown, extra seconds tolerated, repeats averaged.
/// `loopback` (empty: none) is the electrical loopback recorded with it; its response and delay are removed,
/// so that time counts from there. The response is cut where the next repeat's harmonics begin and at 8 s.
/// Throws Error(unusable) where the recording is silent, has another rate, or the sweep is not in it.
Deconvolved deconvolve(const Signal& recording, const Excitation& excitation, const Signal& loopback = {});

} // namespace ebbmark
