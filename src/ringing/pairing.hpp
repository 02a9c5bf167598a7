// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of one state of a room against those of another.
#pragma once

#include "ringing/ringing.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace ebbmark {

/// One mode in both states, or in one only.
struct PairedMode {
    std::optional<std::size_t> before; ///< index into the modes; none: new after
    std::optional<std::size_t> after;  ///< none: vanished
    double assurance = 0;              ///< modal assurance of the two shapes; 0 with fewer than 3 positions
    Measured change_percent;           ///< of T60, with its 95 % interval; empty where one is missing
    std::optional<double> p_value;     ///< two-sided, of "no change"
    std::optional<double> after_at_most_s; ///< of a vanished mode: it rings no longer than this
};

struct PairingOptions {
    double speed_ratio = 1;     ///< speed of sound after over before: all modes shift by it
    bool same_positions = true; ///< position by position the same places and gains: shapes can be compared
};

/// Pairs by frequency (within the mean half-power width, more likely the closer) and, with three positions or
/// more, by shape; one to one, likeliest first. A vanished mode is never dropped: it is bounded by the
/// longest-ringing resonance that covers its frequency afterwards, and by 0.1 s where none does. By frequency
/// of before, then new ones.
std::vector<PairedMode> pair_modes(const Ringing& before, const Ringing& after,
                                   const PairingOptions& options = {});

} // namespace ebbmark
