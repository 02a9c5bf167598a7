// SPDX-License-Identifier: GPL-3.0-or-later
// The parts of a comparison beside the bands' own table: question, prediction, modes, conditions.
#pragma once

#include "proof/reports/compare_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "verdict/comparison.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// Reasons for a band's optional figures, which carry none of their own: a bound stands in for a value that
/// the band filter hides; a change without a smallest showable change comes from a single position.
Json empty_json(const BandFinding& band);

/// A per cent value of `change` (itself or an end of its interval), signed: with one decimal where its
/// interval is less than 4 points wide, so that two ends never look alike.
std::string percent_within(const Measured& change, double percent);

/// The question as an object, null where none was asked.
Json question_json(const Comparison& comparison);
/// The stored prediction with its hash, null where there is none.
Json prediction_json(const CompareReport& report);
Json modes_json(const std::vector<ModeFinding>& modes);
Json conditions_json(const std::vector<Condition>& conditions);
Json drift_json(const Comparison& comparison);

/// What a band's object has beside its own change: the room in general, the bound, the prediction.
void add_general_and_prediction(Json& band_json, const BandFinding& band);

/// What was promised for the question, what came over the same bands, and how small a shortfall would have
/// been told; empty without a prediction for these places.
std::vector<std::string> promise_sentences(const QuestionFinding& question);

/// The answer to the question in one to three sentences, good or bad news alike.
std::vector<std::string> answer_sentences(const QuestionFinding& question);

/// "31 % (23 to 38 %)" of a change, counted downwards or upwards.
std::string size_text(const Measured& percent, bool shorter);

/// That the question is answered at, or else the bands; empty where none are known.
std::vector<std::string> headline_places(const Comparison& comparison);

/// ", at S1-M1 and S2-M1", or how many places; empty where there are none.
std::string scope_words(const std::vector<std::string>& places);

/// The answer after what was asked, for a headline: "Mean decay, 40 to 200 Hz, at S1-M1: shorter by 31 % (23
/// to 38 %)."
std::string answer_headline(const QuestionFinding& question);

/// Those that rang longest before, at most so many, by frequency.
std::vector<ModeFinding> longest_ringing(std::vector<ModeFinding> modes, std::size_t most);
/// "29 shorter, 4 no change shown".
std::string modes_counts(const std::vector<ModeFinding>& modes);

/// Where the prediction comes from, and which bands came out how; empty without one.
std::vector<std::string> prediction_sentences(const CompareReport& report);

/// Blocks for a terminal, each a heading and a table; empty where there is nothing to say.
std::string prediction_text(const CompareReport& report);
std::string general_and_prediction_text(const Comparison& comparison);
std::string modes_text(const Comparison& comparison);
std::string conditions_text(const Comparison& comparison);

} // namespace ebbmark
