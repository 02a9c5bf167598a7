// SPDX-License-Identifier: GPL-3.0-or-later
// From a recorded sweep to the impulse response, by linear (never circular) spectral division. Harmonic
// responses of the loudspeaker lie L ln n before the linear one (Farina 2000) and are cut off there.
#pragma once

#include "base/signal.hpp"
#include "signal/disturbances.hpp"
#include "signal/excitation.hpp"
#include "signal/harmonics.hpp"
#include "signal/hum.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

// Noise alone puts its highest of a million samples at 5 to 6 times the scatter, which is 15 dB; a room's
// direct sound lies higher by tens of decibels. Measured on noise, clicks, tones and other sweeps:
// tests/signal.
constexpr double least_peak_over_noise_db = 21.6;

/// How the clocks of player and recorder are known.
enum class Clock {
    shared,       ///< one device: nothing to correct
    repeats,      ///< from the distance of equal sweeps
    single_sweep, ///< from the one sweep, where the recorder's differs by more than the method's own error
};

struct Deconvolved {
    Signal response;
    double lead_s = 0;               ///< from the response's start to the sweep's arrival (or the loopback's)
    double delay_s = 0;              ///< from the recording's start to the sweep's arrival
    std::optional<double> drift_ppm; ///< positive: the recorder's clock runs fast; taken out of the response
    Clock clock = Clock::shared;
    int sweeps_found = 0;
    int sweeps_used = 0;
    std::vector<std::size_t> used;      ///< indices of those used
    std::vector<double> sweep_starts_s; ///< of those found, in the recording with drift taken out
    std::vector<double> stretch; ///< of each response found, against the first: the air changed; taken out
    std::vector<Disturbance> disturbances; ///< sounds in the recording that are not the sweep's
    std::optional<double>
        variation_db;                ///< energy of the repeats' differences beyond noise, over the response's
    std::vector<std::size_t> breaks; ///< of those given, the ones that are no sweep's own start or end
    Hum hum;                         ///< found, and taken out of the recording before all else
    double peak_over_noise_db = 0;   ///< strongest sample over the median level of the whole result
    std::vector<BandDistortion> distortion; ///< of the loudspeaker, per third octave of the excitation
};

struct DeconvolveOptions {
    bool shared_clock = false; ///< player and recorder are one device
    bool remove_hum = true;
    std::vector<std::size_t> breaks =
        {}; ///< samples at which the recording is known to break: such sweeps are left out
    /// The same sweep over the electrical loopback, recorded at another time: its response is taken out where
    /// there is no loopback of the recording's own. Says nothing of when the sweep was played.
    Signal stored_loopback = {};
};

/// The impulse response in `recording`: start delay unknown, extra seconds tolerated, the clocks' difference
/// taken out by resampling, repeats averaged, a disturbed one left out.
/// `loopback` (empty: none) is the electrical loopback recorded with it; its response and delay are removed,
/// so that time counts from there. The response is cut where the next repeat's harmonics begin and at 8 s.
/// Memory: about twelve times the recording's, or of the part with the sweeps where that is much shorter.
/// Throws Error(unusable) where the recording is silent, has another rate, or the sweep is not in it.
Deconvolved deconvolve(const Signal& recording, const Excitation& excitation, const Signal& loopback = {},
                       const DeconvolveOptions& options = {});

} // namespace ebbmark
