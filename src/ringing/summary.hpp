// SPDX-License-Identifier: GPL-3.0-or-later
// What a client understands of a room's ringing.
#pragma once

#include "base/signal.hpp"
#include "ringing/ringing.hpp"

#include <array>
#include <span>
#include <vector>

namespace ebbmark {

/// Decay time of a single mode below which listeners did not hear it ring, in s. Second-hand, from abstracts
/// and quotations only: about 0.2 s above 100 Hz rising to about 0.85 s at 32 Hz (M. Stephenson, PhD thesis,
/// Salford 2012; straight in lg f between), and Q = 16 (B. Avis, B. Fazenda, W. Davies 2007).
struct AudibilityThreshold {
    double stephenson_s = 0;
    double q16_s = 0;
};
AudibilityThreshold audibility_threshold(double hz);

/// Indices of the longest-ringing modes, at most `count`, longest first.
std::vector<std::size_t> longest_ringing(const Ringing& ringing, std::size_t count = 5);

/// Energy that is left in [from_hz, to_hz] after each of these times, in dB of all energy from the onset on:
/// mean over the positions, the late noise subtracted. Empty (`noise`) where less than twice the noise is
/// left.
std::array<Measured, 3> energy_left_db(std::span<const Signal> responses, double from_hz = 20,
                                       double to_hz = 200,
                                       const std::array<double, 3>& after_s = {0.1, 0.2, 0.3});

} // namespace ebbmark
