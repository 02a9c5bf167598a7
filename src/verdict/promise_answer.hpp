// SPDX-License-Identifier: GPL-3.0-or-later
// What was promised for the question, over the bands and places that the promise has, and what came.
#pragma once

#include "verdict/prediction.hpp"
#include "verdict/question.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Of the question's weight, at least so much must be predicted for a headline: a mean over less is another
/// one.
inline constexpr double least_predicted_weight = 0.75;

/// One band with its decay before and as predicted.
struct PromisedPart {
    Band band;
    double before_s = 0;
    Measured after_s;
    std::optional<PredictedParts> parts = {}; ///< of its uncertainty
};

struct PromisedMean {
    std::vector<Band> bands;   ///< that have a prediction, by frequency
    std::vector<Band> missing; ///< bands of the question without one
    double weight = 0;         ///< of those predicted, in the question's whole
    std::optional<double> log; ///< mean of ln(after/before), weighted; nothing below least_predicted_weight
    /// Ends of its 95 % interval, the bands' errors taken as one model's; nothing where a band has none.
    std::optional<double> low, high;
    std::optional<PredictedParts> parts; ///< each summed over the bands; nothing where a band has none

    Measured percent() const;
};

/// Over the question's bands; `parts` in any order, all of one width.
PromisedMean promised_mean(const std::vector<PromisedPart>& parts, const Question& question);

/// The promise held against what came over the same bands.
struct PromiseAnswer {
    Measured promised_percent;
    std::optional<PredictedParts> promised_parts; ///< of its uncertainty, as standard uncertainties of ln
    Measured came_percent;                        ///< the measured change over the same bands and places
    std::vector<Band> bands, missing;
    AgainstPrediction came = AgainstPrediction::cannot_tell;
    /// Had less than this shortening come, it would have been called less in 80 % of cases.
    std::optional<double> told_below_percent;
};

/// `change` is over the bands of `promised`.
PromiseAnswer answer_promise(const PromisedMean& promised, const QuestionChange& change);

/// Whether a prediction for these places ("S1-M1 S2-M1", any order) is one for those.
bool same_places(const std::string& predicted, const std::vector<std::string>& places);

} // namespace ebbmark
