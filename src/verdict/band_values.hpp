// SPDX-License-Identifier: GPL-3.0-or-later
// The values of one band that enter a comparison: natural logarithms of decay times, position by position.
#pragma once

#include "decay/decay.hpp"

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class Metric { t20, t30 };

/// "t20" or "t30".
std::string_view name(Metric metric);

/// One decay time, or what is known instead.
struct DecayValue {
    std::optional<double> log_s;
    std::optional<double> log_bound; ///< upper bound where the band filter hides the value
    double fit_variance = 0;         ///< of log_s; from its interval, else by iso_fit_variance
    std::optional<Empty> empty;
};

DecayValue decay_value(const BandDecay& band, Metric metric);

/// Variance of ln T of a single integrated impulse response in a diffuse field: ISO 3382-2:2008 clause 7 with
/// ten decays per position, 0.88² · 1.19/(B T) for T20 and 0.55² · 1.152/(B T) for T30.
double iso_fit_variance(const Band& band, double decay_s, Metric metric);

/// One position with a value before, and a value or a bound after.
struct PositionPair {
    std::size_t position = 0;
    DecayValue before, after;
    std::vector<std::size_t> also = {}; ///< further positions that this one stands for
};

/// One band of two states. `pairs` is for paired states, the two lists for unpaired ones.
struct BandValues {
    Band band;
    std::vector<PositionPair> pairs;
    std::vector<DecayValue> before, after;
    std::optional<Empty> why_left_out; ///< reason of the first value that stays out
    int left_out = 0;                  ///< positions (unpaired: values) that stay out

    int bounded() const; ///< positions (unpaired: values) known by a bound after only
};

BandValues paired_values(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                         std::size_t band, Metric metric);
/// Makes one pair of those whose positions have the same number in `alike`, of those `listening` alone where
/// there are any among them, at the first: the mean of their logarithms, as certain as one of them; of a
/// bound where one has no more. Lists as long as the positions, or empty.
void join_alike(BandValues& values, const std::vector<std::size_t>& alike,
                const std::vector<bool>& listening);

BandValues unpaired_values(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                           std::size_t band, Metric metric);

} // namespace ebbmark
