// SPDX-License-Identifier: GPL-3.0-or-later
// Which responses repeat one place: equal but for noise, with loudspeaker and microphone left where they
// were.
#pragma once

#include "base/signal.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace ebbmark {

/// How alike the first 0.2 s of two responses are.
struct PlaceLikeness {
    /// Highest normalised cross-correlation, without the part that the noises have in it: the least of the
    /// octaves from 63 Hz to 2 kHz in which both stand out of their noise.
    double least = 0;
    double highest_octave_hz = 0; ///< of those octaves
};

/// Nothing where no octave stands 15 dB over the noise (below 1 kHz 30 dB), or the rates differ.
std::optional<PlaceLikeness> place_likeness(const Signal& a, const Signal& b);

/// Whether two responses are equal but for noise: likeness of at least 0.98; where nothing from 1 kHz on can
/// be judged, 0.998, because the bass of places a hand's breadth apart is alike. In a diffuse field 0.98 is
/// what 1 cm leaves at 2 kHz (sin kx/kx, Cook et al., JASA 27 (1955) 1072). Measured: README.
bool is_one_place(const std::optional<PlaceLikeness>& likeness);

/// The responses in groups that stand at one place each, as indices: groups and members in the order of the
/// responses. Each response is in one group; without repeats every group has one member.
std::vector<std::vector<std::size_t>> places_of(const std::vector<Signal>& responses);

} // namespace ebbmark
