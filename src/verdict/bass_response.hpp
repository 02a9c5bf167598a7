// SPDX-License-Identifier: GPL-3.0-or-later
// Peaks and dips of the bass response at the places measured, before and after. Levels are relative: every
// response is held against its own mean level, so that gains and distances do not enter.
#pragma once

#include "base/measured.hpp"
#include "base/signal.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// Width of the smoothing in octaves, of the power spectrum, each frequency in the middle of its window.
inline constexpr double bass_smoothing_octaves = 1.0 / 6;

/// 24 frequencies per octave, in hertz, whose smoothing windows lie within what the sources reached and whose
/// middles lie within 20 to 200 Hz; empty where nothing is left.
std::vector<double> bass_frequencies(double source_from_hz, double source_to_hz);

/// Smoothed power at each frequency, any unit: Fourier transform of the 2 s after the onset, the last half
/// second faded out; a shorter response as far as it goes.
std::vector<double> bass_power(const Signal& response, const std::vector<double>& frequencies_hz);

/// Whether two places are one in the bass, as mirror images in a symmetric room are: their levels, each about
/// its own mean, differ by at most 1 dB, root mean square over the frequencies.
bool alike_in_bass(const std::vector<double>& power, const std::vector<double>& other);

/// A level above (below) the response's own mean level.
struct BassExtreme {
    double hz = 0, db = 0;
};

/// One place in one state.
struct BassEvenness {
    BassExtreme peak, dip;
    double unevenness_db = 0; ///< standard deviation of the level over the frequencies (log scale)
};

struct BassResponseChange {
    double from_hz = 0, to_hz = 0;
    std::vector<BassEvenness> before, after;                  ///< one per place, in the order given
    double unevenness_before_db = 0, unevenness_after_db = 0; ///< means over the places
    Measured unevenness_change_db; ///< after − before, with its plain 95 % interval from two places on
    /// How much the places differ: standard deviation of the level over the places, mean over the
    /// frequencies; from two places on.
    std::optional<double> spread_before_db, spread_after_db;
};

/// `before[i]` and `after[i]` hold the smoothed power at place i; at least one place and two frequencies.
BassResponseChange bass_response_change(const std::vector<double>& frequencies_hz,
                                        const std::vector<std::vector<double>>& before,
                                        const std::vector<std::vector<double>>& after);

} // namespace ebbmark
