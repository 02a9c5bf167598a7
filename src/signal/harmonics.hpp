// SPDX-License-Identifier: GPL-3.0-or-later
// Harmonic distortion of the loudspeaker from the sweep's own harmonics. After division by the sweep,
// harmonic n lies L ln n before the linear response (Farina 2000). At one received frequency both have passed
// the same room, and the sweep passes every octave in the same time, so their quotient there is the
// loudspeaker's alone.
#pragma once

#include "base/bands.hpp"
#include "signal/excitation.hpp"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace ebbmark {

constexpr int highest_harmonic = 5;

/// Harmonics made by tones in one third octave, in per cent of the fundamental.
struct BandDistortion {
    Band band; ///< of the fundamental
    /// Of orders 2 to 5; nothing where it is not above the noise, lies beyond the sweep's band, or cannot be
    /// told within 0.5 dB: next to the sweep's start, and where the next order still rings in the room.
    std::array<std::optional<double>, highest_harmonic - 1> percent;
    std::optional<double> total_percent; ///< root of the sum of squares; nothing where it cannot be told
    std::optional<double> rough_percent; ///< of all above the noise, some decibels off at worst: for limits
};

/// `response` is the divided recording with the arrival of the linear response at `arrival`, wholly or from
/// L ln 6.5 before to some seconds after it. Bands whose second harmonic is within the sweep's band.
std::vector<BandDistortion> harmonic_distortion(std::span<const double> response, std::size_t arrival,
                                                const Excitation& excitation);

} // namespace ebbmark
