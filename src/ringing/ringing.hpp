// SPDX-License-Identifier: GPL-3.0-or-later
// The room's modes and how long each rings, from impulse responses at several positions.
#pragma once

#include "base/measured.hpp"
#include "base/signal.hpp"
#include "ringing/notes.hpp"

#include <array>
#include <complex>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace ebbmark {

/// One mode: a damped vibration that all positions share.
struct MeasuredMode {
    Measured hz;
    Measured t60_s;
    double hz_deviation = 0;  ///< standard deviation
    double t60_deviation = 0; ///< standard deviation of ln T60
    std::vector<double>
        level_db; ///< per position at the onset, relative to the strongest mode at any position
    /// The same with phase, in the responses' unit: a mode is twice the real part.
    std::vector<std::complex<double>> amplitude;
    std::optional<std::array<int, 3>> room_mode; ///< orders nx, ny, nz where named

    double q() const; ///< hz over the width of its resonance at −3 dB
};

/// A range in which something rings, but no single mode can be told.
struct UnresolvedRange {
    double from_hz = 0;
    double to_hz = 0;
    Empty why = Empty::overlap;
};

/// Something that rings, whose decay is not certain enough to be given.
struct UncertainMode {
    double hz = 0;
    double width_hz = 0;   ///< at −3 dB
    double t60_high_s = 0; ///< upper end of the 95 % interval
};

struct RingingOptions {
    double from_hz = 20;
    double to_hz = 200;
    double source_from_hz = 0; ///< what the excitation reached
    double source_to_hz = 1e9;
};

struct Ringing {
    std::vector<MeasuredMode> modes; ///< by frequency
    std::vector<UnresolvedRange> unresolved;
    std::vector<UncertainMode> uncertain; ///< what the unresolved ranges hold
    std::size_t positions = 0;
    std::optional<double>
        drift_percent; ///< largest frequency shift between two positions; several positions only
    std::vector<RingingNote> notes;
};

/// Modes of one room from one response per position. Frequencies and decay times with 95 % intervals that
/// allow for noise, for each other, for air that drifts by about 1 °C, and for modes hidden behind others. A
/// mode is given where ln T60 is certain to a deviation of 0.4. Throws Error(unusable) where the responses
/// differ in rate, are silent, shorter than 0.3 s after the onset, or sampled too slowly for `to_hz`.
Ringing measure_ringing(std::span<const Signal> responses, const RingingOptions& options = {});

} // namespace ebbmark
