// SPDX-License-Identifier: GPL-3.0-or-later
// Before against after: what changed, how surely, and whether as promised.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "decay/decay.hpp"
#include "verdict/budget.hpp"
#include "verdict/change.hpp"
#include "verdict/clarity_change.hpp"
#include "verdict/conditions.hpp"
#include "verdict/drift.hpp"
#include "verdict/judgement.hpp"
#include "verdict/mode_change.hpp"
#include "verdict/notes.hpp"
#include "verdict/prediction.hpp"
#include "verdict/promise_answer.hpp"
#include "verdict/question.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// What is said of one band. `change_percent` is the change at these positions, `general_percent` that of the
/// room in general; both with their plain 95 % intervals.
struct BandFinding {
    Band band;
    Metric metric = Metric::t20;
    int positions = 0;               ///< with values in both states; unpaired: the smaller of the two counts
    std::vector<std::string> places; ///< names of the positions behind the change; unpaired: of all
    std::optional<double> before_s;  ///< geometric means over the positions used
    std::optional<double> after_s;
    std::optional<double> after_at_most_s; ///< where no after-value could be shown for the filter
    Measured change_percent;
    Measured general_percent;
    /// Where the change itself is not known: it lies below this in 97.5 % of cases.
    std::optional<double> change_at_most_percent;
    /// Smallest decrease that would have been found in 80 % of cases.
    std::optional<double> could_show_percent;
    Finding finding = Finding::not_measurable;
    Measured predicted_s; ///< without a value: no prediction for this band
    AgainstPrediction against_prediction = AgainstPrediction::cannot_tell;
    Measured added_area_m2; ///< equivalent absorption area added, ISO 354:2003 clause 8
    std::vector<VerdictNote> notes;
};

/// What is said of the question.
struct QuestionFinding {
    std::string text;
    Metric metric = Metric::t20;
    std::string fixed;
    std::vector<std::string> places; ///< names of the positions behind the change; unpaired: of all
    Measured change_percent;
    Measured general_percent;
    std::optional<double> could_show_percent;
    Finding finding = Finding::not_measurable;
    std::optional<UncertaintyBudget> budget;     ///< of the change; nothing for modes or unpaired states
    std::optional<PromiseAnswer> promise;        ///< nothing without a prediction for these places
    std::optional<AcceptanceFinding> acceptance; ///< nothing where none was agreed, or nothing was measured
    std::vector<VerdictNote> notes;
};

/// What became of the modes that were predicted one by one.
struct ModesAgainst {
    int predicted = 0; ///< all, also those that no mode measured before belongs to
    int as_predicted = 0, less = 0, more = 0, cannot_tell = 0;
};

struct Comparison {
    int pairs = 0; ///< positions compared; unpaired: the smaller of the two counts
    std::size_t places_before = 0, places_after = 0; ///< after repeats of one place were joined
    bool paired = true;
    bool reproducibility_measured = false; ///< from returns; else the scatter between positions stands in
    std::optional<bool> prediction_stored_before; ///< nothing without a prediction
    int listening_places = 0;                     ///< that the headline rests on; 0: on all positions
    std::optional<QuestionFinding> question;
    std::vector<BandFinding> bands;
    std::vector<ModeFinding> modes;
    int predicted_modes = 0;            ///< that the prediction holds
    std::vector<ClarityChange> clarity; ///< paired states only
    std::vector<Condition> conditions;
    std::vector<DriftFinding> drift; ///< pairs of visits before the build, in their order
    std::vector<VerdictNote> notes;  ///< what the figures rest on
};

struct CompareOptions {
    bool paired = true;
    Metric metric = Metric::t20;       ///< in both states and all bands, fixed beforehand
    std::vector<RepeatedTake> returns; ///< of both visits, the same bands
    std::vector<bool> listening;       ///< one flag per pair; none set, or empty: all positions count
    std::vector<std::string> places;   ///< their names, one per pair; unpaired: of both states
    std::vector<std::size_t> alike;    ///< number per pair: those alike in the bass have the same; or empty
    /// Responses given, before repeats of one place were joined (verdict/places.hpp); 0: none were.
    std::size_t responses_before = 0, responses_after = 0;
    /// Bands outside are analysed for what they know of the scatter and for the question, but neither judged
    /// nor shown.
    double shown_from_hz = 0, shown_to_hz = 1e9;
    std::optional<Question> question;
    std::optional<AcceptanceRule> acceptance; ///< of the question
    std::optional<Prediction> prediction;
    std::optional<VisitConditions> before_conditions, after_conditions; ///< both or none
    std::vector<UntouchedChange> untouched; ///< what the room did without a build; enters every interval
    std::vector<ModePair> modes;
    std::optional<double> volume_m3;    ///< needed for the added absorption
    std::optional<double> schroeder_hz; ///< below it the added absorption belongs to this place
};

/// What a comparison of two visits before the build lends to that of others; nothing where their conditions
/// differ too much. Lists as for compare().
std::optional<UntouchedChange> untouched_change(const std::vector<ResponseDecay>& before,
                                                const std::vector<ResponseDecay>& after,
                                                const CompareOptions& options);

/// What a change holds for: one place, these places, or the room with its positions as a sample.
enum class Scope { place, places, room };

/// "place", "places" or "room".
std::string_view name(Scope scope);

/// Scope of a figure at so many positions.
Scope scope_of(const Comparison& comparison, int positions);

ModesAgainst modes_against(const Comparison& comparison);

/// Compares two states of one room; `before[i]` pairs with `after[i]` unless unpaired. All analyses have the
/// same bands, neither list is empty, paired lists are equally long. The question is tested alone at 5 %; the
/// chance of any false shorter or longer is 5 % over all bands, and 5 % over all modes.
Comparison compare(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   const CompareOptions& options);

/// What compare() takes: two states of a room.
struct StatePair {
    std::vector<ResponseDecay> before, after;
    CompareOptions options;
};

/// Several comparisons of one room, as of each later visit with the first; the 5 % hold over the bands, and
/// over the modes, of all of them together. The question of each is tested alone.
std::vector<Comparison> compare_chain(const std::vector<StatePair>& pairs);

} // namespace ebbmark
