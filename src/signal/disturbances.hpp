// SPDX-License-Identifier: GPL-3.0-or-later
// Sounds in a recording that are not the sweep's: a door, a voice, a passing car.
#pragma once

#include "signal/excitation.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace ebbmark {

/// One band at one time of a disturbance.
struct DisturbedCell {
    double after_s = 0; ///< after the sweep's start
    double from_hz = 0;
    double to_hz = 0;
    double part = 0; ///< its energy over that of the sweep in the band
};

/// A stretch of time in a range of frequency.
struct Disturbance {
    double from_s = 0; ///< in the recording
    double to_s = 0;
    double from_hz = 0;
    double to_hz = 0;
    double above_noise_db = 0; ///< at its strongest, in a band over 85 ms
    int sweep = -1;            ///< index of the one that it disturbs; −1: not known which
    /// The loudspeaker's own: it follows the sweep, which was passing this frequency.
    std::optional<double> rattle_hz = {};
    std::vector<DisturbedCell> cells = {}; ///< in order of time
};

/// Equal sweeps in a recording.
struct Sweeps {
    std::span<const double> starts;        ///< the samples at which they begin, to a fraction
    std::span<const double> stretch;       ///< of their responses, against the first; empty: none
    std::span<const double> response = {}; ///< of one sweep, from its arrival on
};

/// Disturbances of one sweep among several. Where two sweeps alone differ, the louder one is taken for the
/// disturbed one. With one sweep, only times at which a band is left alone by the sweep, its harmonics and
/// the room can be judged.
std::vector<Disturbance> find_disturbances(std::span<const double> recording, const Sweeps& sweeps,
                                           const Excitation& excitation);

} // namespace ebbmark
