// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of one state of a room against those of another.
#pragma once

#include "ringing/ringing.hpp"

#include <cstddef>
#include <vector>

namespace ebbmark {

/// One mode in both states, or in one only; or a few neighbours of which only the mean can be compared.
struct PairedMode {
    std::vector<std::size_t> before; ///< indices into the modes, by frequency; none: new after
    std::vector<std::size_t> after;  ///< as many, or none: not found after
    double assurance = 0; ///< agreement of the two shapes, 0 to 1; 0 where shapes cannot be compared
};

struct PairingOptions {
    double speed_ratio = 1;     ///< speed of sound after over before: all modes shift by it
    bool same_positions = true; ///< position by position the same places and gains: shapes can be compared
};

/// Indices of modes, by frequency: those that lie within a fifth of their mean half-power width and are of
/// comparable strength form one group. Which of them has which decay depends on the positions; their mean
/// does not.
std::vector<std::vector<std::size_t>> mode_groups(const Ringing& ringing);

/// Strength of each position in this group of modes: the square root of the sum of |amplitude|².
std::vector<double> strengths(const Ringing& ringing, const std::vector<std::size_t>& group);

/// a·b/(|a| |b|) of two lists of magnitudes, equally long; 0 where one is zero.
double likeness(const std::vector<double>& a, const std::vector<double>& b);

/// Pairs one to one, likeliest first. With three common positions or more: modes by frequency, within the
/// mean half-power width, and by shape. Without shapes: groups of equally many, where the frequencies agree
/// within four of their joint deviations or 0.6 %. By frequency of before, then new ones.
std::vector<PairedMode> pair_modes(const Ringing& before, const Ringing& after,
                                   const PairingOptions& options = {});

} // namespace ebbmark
