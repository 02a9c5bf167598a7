// SPDX-License-Identifier: GPL-3.0-or-later
// Mains hum in a recording: steady lines at 50 or 60 Hz and their multiples.
#pragma once

#include "signal/excitation.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace ebbmark {

// What may be left of a line is guessed, within some decibels. Of 100 recordings with hum, bands that this
// limit let through at 60 dB were off by 1 to 1.8 % seven times, at 66 dB not once: tests/bench,
// recording_scenarios hum.
constexpr double least_hum_range_db = 66;

struct HumLine {
    double hz = 0;
    double amplitude = 0; ///< peak value, mean over the recording
    /// How far the third octave around it may decay before it meets what may be left of the line.
    double decay_range_db = 0;
};

struct Hum {
    double mains_hz = 0; ///< 50 or 60; 0 without lines
    std::vector<HumLine> lines;
};

/// Lines up to 1 kHz that stand out of the noise beside them while the sweeps, which start at the samples
/// `starts` of `recording`, are elsewhere in frequency; taken out of `recording`. Amplitude and phase may
/// change slowly; while a sweep passes they are taken from before and after.
Hum remove_hum(std::vector<double>& recording, std::span<const double> starts, const Excitation& excitation);

} // namespace ebbmark
