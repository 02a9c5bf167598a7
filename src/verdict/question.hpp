// SPDX-License-Identifier: GPL-3.0-or-later
// The one question of a job, fixed before the second visit and tested alone.
#pragma once

#include "verdict/change.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// "Did the mean decay between these frequencies change?", or that of some modes.
struct Question {
    std::string text;
    double from_hz = 40;
    double to_hz = 200;
    std::vector<double> modes_hz;         ///< the question is of these modes instead, where there are any
    std::string fixed = "in the promise"; ///< when and where it was fixed, in words
};

/// The mean over the question's bands. Each band weighs by its bandwidth, as the variance of ln T falls with
/// 1/(B T) (ISO 3382-2:2008 clause 7): the mean over frequency, fixed by the question alone.
struct QuestionChange {
    std::optional<MeanEstimate> here;
    std::optional<MeanEstimate> general;
    std::optional<MeanEstimate> after; ///< ln T after, to be held against a prediction
    std::vector<std::size_t> bands;    ///< indices of those that entered
    std::vector<double> weights;       ///< theirs, sum 1
    std::vector<Band> missing;         ///< in the question's range, without a change
};

/// Over these of its bands alone; `only` empty: over all.
QuestionChange question_change(const std::vector<BandChange>& bands, const Question& question,
                               const std::vector<Band>& only = {});

/// Correlation of the changes of neighbouring bands over the positions, all neighbours together; 0 at least.
/// Bands further apart are taken to correlate by its power.
struct NeighbourCorrelation {
    double value = 0;
    double variance = 0; ///< of the value; 0 where it was cut off at 0
};

NeighbourCorrelation neighbour_correlation(const std::vector<BandChange>& bands);

} // namespace ebbmark
