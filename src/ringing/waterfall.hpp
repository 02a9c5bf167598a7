// SPDX-License-Identifier: GPL-3.0-or-later
// Cumulative spectral decay: the spectrum of what is left of a response from each moment on.
#pragma once

#include "base/measured.hpp"
#include "base/signal.hpp"

#include <vector>

namespace ebbmark {

enum class WaterfallAxis {
    linear, ///< equal steps of 1 Hz
    octave  ///< 1/24 octave, energy averaged over each step
};

struct WaterfallOptions {
    double from_hz = 10;
    double to_hz = 500;
    int slices = 100;
    double span_s = 0.8;   ///< from the first slice to the last; shortened where the response ends
    double window_s = 0.4; ///< length of the window that starts at each slice
    WaterfallAxis axis = WaterfallAxis::octave;
};

struct Waterfall {
    WaterfallAxis axis = WaterfallAxis::octave;
    std::vector<double> hz;
    std::vector<double> time_s;                ///< of the slices, from the onset on
    std::vector<std::vector<double>> level_db; ///< slice by slice; 0 dB is the strongest of the slice at 0
    std::vector<Measured> decay_s;             ///< per frequency, 60 dB, read from its levels
    double noise_db = 0; ///< the level that the last slices do not fall below (their median over frequency)
    double resolution_hz = 0; ///< width of the window's spectrum at −3 dB
    double resolution_s = 0;  ///< effective length of the window, (∫w²)² / ∫w⁴
};

/// Each slice's window rises within 30 ms before its moment and falls as half a Hann window. A pure
/// exponential decay falls at its own rate from slice to slice, whatever the window. Decay: straight line
/// through the levels from 5 to 25 dB under that of slice 0; empty (`noise`) where these do not lie 10 dB
/// over the noise, (`length`) where the slices end before, (`overlap`) where neighbours beat so that the
/// levels follow no line. Throws Error(unusable) where the response is silent, shorter after its onset than
/// the window and 0.1 s, or sampled too slowly.
Waterfall make_waterfall(const Signal& response, const WaterfallOptions& options = {});

/// Frequencies that ring on longer than their neighbours within a twelfth of an octave: at most `count`,
/// those first whose level stays highest over all slices.
std::vector<std::size_t> ridges(const Waterfall& waterfall, std::size_t count);

} // namespace ebbmark
