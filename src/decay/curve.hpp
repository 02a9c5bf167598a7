// SPDX-License-Identifier: GPL-3.0-or-later
// The energy decay curve by backward integration, and straight lines through stretches of it.
#pragma once

#include "decay/noise.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// Energy that is still to come, noise subtracted, cut at the tail's truncation and completed by the
/// exponential that the tail follows: ISO 3382-1:2009, 5.3.3, with W. T. Chu's subtraction, JASA 63 (1978).
struct EnergyCurve {
    std::vector<double> remaining; ///< first value `lead` steps before the onset; after it the curve proper
    std::size_t lead = 0;
    double step_s = 0;
    double tail_energy = 0; ///< of the completing exponential
    double tail_rate_per_s = 0;
    double start = 0; ///< what 0 dB is: all energy of the band, also what its filter moved before the onset
    double range_db = 0; ///< all energy over what remains where the decay meets the noise (or its end)

    std::span<const double> after_onset() const { return std::span(remaining).subspan(lead); }
    /// Remaining energy at a time relative to the onset, between the samples along an exponential.
    double at(double time_s) const;
};

/// `storage` is memory that the curve may take over.
EnergyCurve integrate_backwards(const BandEnergy& band, const Tail& tail, std::vector<double> storage = {});

/// Straight line through a stretch of a curve in decibels.
struct Line {
    double decay_s = 0;               ///< time for 60 dB
    double nonlinearity_permille = 0; ///< 1000 (1 − r²), ISO 3382-2:2008 B.2
    double from_s = 0, to_s = 0;
    double level_at_onset_db = 0;
};

/// Least squares between two levels below the start, for example −5 and −25. Nothing where the curve does not
/// reach the lower one, has fewer than three points there, or does not fall.
std::optional<Line> fit_line(const EnergyCurve& curve, double upper_db, double lower_db);

} // namespace ebbmark
