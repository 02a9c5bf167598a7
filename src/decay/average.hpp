// SPDX-License-Identifier: GPL-3.0-or-later
// One room from several positions: ISO 3382-2:2008, clause 8.
#pragma once

#include "decay/decay.hpp"

namespace ebbmark {

/// One band over positions. Each mean is over the positions that have the value; `t20_positions` and
/// `t30_positions` say how many those are.
struct BandAverage {
    Band band;
    Measured t20_s; ///< arithmetic mean, with the interval that the spread between positions gives
    Measured t30_s;
    int t20_positions = 0;
    int t30_positions = 0;
    /// Standard deviation between positions over the mean, of T20; nothing with fewer than two.
    std::optional<double> spread_percent;
    /// From the mean of the positions' decay curves, each with the same total energy: −5 to −25 dB.
    std::optional<double> ensemble_t20_s;
};

/// Mean, interval (Student, n − 1) and spread per band. All responses hold the same bands in the same order;
/// throws std::invalid_argument otherwise or where there is none. With one position the value is its own,
/// with its own interval; a band that no position has is empty with the first position's reason.
std::vector<BandAverage> average_over_positions(const std::vector<ResponseDecay>& positions);

/// T20 of one band as the geometric mean at these places and no others. Its interval is for measuring there
/// again: each value with this standard deviation of its logarithm. Empty with the first position's reason
/// where no position has a value. `band` is one of the first position's; others may lack the highest.
Measured t20_at_places(const std::vector<ResponseDecay>& positions, std::size_t band, double deviation);

/// What stands for the band: T30 where as many positions have it as T20, else T20.
const Measured& leading_decay(const BandAverage& average);

} // namespace ebbmark
