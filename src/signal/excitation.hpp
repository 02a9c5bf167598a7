// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/signal.hpp"
#include "signal/fft.hpp"
#include "signal/notes.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <span>

namespace ebbmark {

/// One sweep as it was played, and what it reaches.
struct Excitation {
    Signal sweep;       ///< one repeat, without silence
    double from_hz = 0; ///< the frequencies that it covers
    double to_hz = 0;
    double harmonic_lead_s = 0; ///< how early the second harmonic's response lies
    int repeats = 1;
    double repeat_period_s = 0; ///< start to start; not used with one repeat
};

/// What a described sweep reaches is its start and stop frequency.
Excitation excitation_of(const Sweep& sweep);

/// An excitation known only by its samples: one exponential sweep, or equal ones with silence between and
/// around. What it reaches is where its energy per octave is at least a tenth of its median.
/// Throws Error(unusable) where it is silent, unequal or holds less than two octaves.
Excitation excitation_of(const Signal& samples);

/// Where the sweep is so short that the room still rings from the loudspeaker's harmonics when the response
/// begins: how good the response can be, and how long a sweep avoids it.
std::optional<ShortSweep> short_sweep(const Excitation& excitation);

/// Energy of a spectrum times frequency, which is the same all along an exponential sweep: its median over
/// [from_hz, to_hz]; 0 where no bin lies there.
double level_per_octave(std::span<const Complex> spectrum, double hz_per_bin, double from_hz, double to_hz);

} // namespace ebbmark
