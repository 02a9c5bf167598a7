// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `compare`.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text compare_title_paired = "Before against after: {} positions, each against itself";
inline constexpr Text compare_title_listening = "; the headline rests on {} of them";
inline constexpr Text compare_title_one = "Before against after: one position";
inline constexpr Text compare_title_unpaired =
    "Before against after: at least {} responses a state, not paired";
inline constexpr Text headline_shorter_one =
    "The sound dies away in {1}\u00a0% less time after the treatment, in one band: {0}.";
inline constexpr Text headline_shorter =
    "The sound dies away in {3}\u00a0% less time after the treatment, in {0} of {1} bands: {2}.";
inline constexpr Text headline_longer_one = "It takes {1}\u00a0% more time in one band: {0}.";
inline constexpr Text headline_longer = "It takes {3}\u00a0% more time in {0} of {1} bands: {2}.";
inline constexpr Text headline_only_longer_one = "The sound takes {1}\u00a0% more time to die away after the "
                                                 "treatment, in one band: {0}. No band is shown to be "
                                                 "shorter.";
inline constexpr Text headline_only_longer = "The sound takes {3}\u00a0% more time to die away after the "
                                             "treatment, in {0} of {1} bands: {2}. No band is "
                                             "shown to be shorter.";
inline constexpr Text headline_none =
    "This measurement does not show that the treatment changed the decay time in any band.";
inline constexpr Text headline_single = "Decay times were measured before and after, but from a single "
                                        "position nobody can tell a change from chance: "
                                        "repeat with at least two positions.";
inline constexpr Text headline_unmeasurable =
    "Nothing could be compared: no band gave a decay time both before and after.";
inline constexpr Text rest_unchanged = "Shown unchanged: {}.";
inline constexpr Text rest_not_shown = "No change shown in {} of {} bands, {}. That is not proof of "
                                       "sameness: a change of less than {}\u00a0% could "
                                       "be there and stay hidden.";
inline constexpr Text rest_not_shown_unknown =
    "No change shown in {} of {} bands, {}; how large a hidden change could be is not known from this data.";
inline constexpr Text rest_single =
    "Measured at one position only, so without a finding: {} of {} bands, {}.";
inline constexpr Text rest_not_measurable = "Not measurable: {} of {} bands, {}.";
inline constexpr Text compare_key = "before, after: decay times, geometric means over the positions. change: "
                                    "with its 95\u00a0% interval for that "
                                    "band alone. could show: the smallest shortening that this data would "
                                    "have found in 80\u00a0% of cases; where "
                                    "nothing is found, a smaller one may be there all the same. finding: "
                                    "with the error held at 5\u00a0% over all "
                                    "bands and modes together.";
inline constexpr Text question_asked = "Question ({}): {}.";
inline constexpr Text size_with_interval = "{}\u00a0% ({} to {}\u00a0%)";
inline constexpr Text answer_head = "Answer: {}";
inline constexpr Text answer_headline = "{}: {}";
inline constexpr Text answer_shorter = "shorter by {}.";
inline constexpr Text answer_longer = "longer by {}.";
inline constexpr Text answer_unchanged =
    "shown unchanged; the change lies within {}\u00a0% with 95\u00a0% confidence.";
inline constexpr Text answer_not_shown =
    "no change shown (95\u00a0% interval {}\u00a0%). That is not proof of sameness: a change of less "
    "than {}\u00a0% could be there and stay hidden.";
inline constexpr Text answer_not_measurable = "it cannot be answered; {}.";
inline constexpr Text answer_general =
    "For the room in general, positions taken as a sample of it: {}\u00a0% "
    "({}\u00a0%).";
inline constexpr Text promised_and_came =
    "Promised over {}: {}. Came over the same bands at the same places: {}: {}.";
inline constexpr Text promise_told_below =
    "Less than {}\u00a0% shorter would have been called less than predicted in 80\u00a0% of cases.";
inline constexpr Text promise_never_told =
    "Measurement and prediction are too uncertain here to show that less came than was promised.";
inline constexpr Text promised_too_little =
    "No headline was promised: fewer than three quarters of the question, by weight, have a prediction ({}).";
inline constexpr Text prediction_head = "Against the prediction";
inline constexpr Text prediction_stored =
    "The prediction was stored on {}, before visit {} was measured ({}, SHA-256 {}).";
inline constexpr Text prediction_too_late =
    "The prediction was stored on {}, after visit {} was measured ({}, SHA-256 {}): a comparison with it is "
    "no proof of a promise.";
inline constexpr Text bands_as_predicted = "As predicted: {} of {} bands, {}.";
inline constexpr Text bands_less_than_predicted = "Less than predicted: {} of {} bands, {}.";
inline constexpr Text bands_more_than_predicted = "More than predicted: {} of {} bands, {}.";
inline constexpr Text bands_cannot_tell =
    "Cannot tell: {} of {} bands, {}; there the measured and the predicted decay are "
    "both too uncertain to tell the prediction "
    "from no change.";
inline constexpr Text prediction_method = "E = ln(after/predicted)/√(U² + U²), each U the expanded "
                                          "uncertainty of two standard deviations, that after "
                                          "with the positions as a sample of the room. As predicted: |E| at "
                                          "most 1, and no change outside the combined "
                                          "interval.";
inline constexpr Text answer_acceptance = "What was agreed: {}.";
inline constexpr Text group_general = "room in general";
inline constexpr Text group_prediction = "against the prediction";
inline constexpr Text condition = "{}: {} before, {} after; {}.";
inline constexpr Text conditions_head = "Conditions of the two states";
inline constexpr Text condition_same = "{} ({})";
inline constexpr Text conditions_same = "The same both times: {}.";
inline constexpr Text modes_counted = "Of {} modes told apart before: {}. Those that rang longest (JSON and "
                                      "CSV have all); one that is not found "
                                      "after is not measurable:";
inline constexpr Text modes_head = "Room modes";
inline constexpr Text modes_predicted = "Modes predicted one by one: {}. As predicted {}, less {}, more {}; "
                                        "of {} it cannot be told. Of the same modes "
                                        "as above:";
inline constexpr Text target_of_visit = "Visit {}, mean over the room, {} bands with limits: {}.";
inline constexpr Text target_group = "{} {} ({})";
inline constexpr Text bass_head = "Bass response";
inline constexpr Text bass_of_listening_places =
    "At the listening places, {} to {}\u00a0Hz, smoothed over 1/{} octave; levels about each response's own "
    "mean. Uneven: standard deviation of the level over the frequencies.";
inline constexpr Text bass_of_all_positions =
    "At all positions, {} to {}\u00a0Hz, smoothed over 1/{} octave; levels about each response's own mean. "
    "Uneven: standard deviation of the level over the frequencies.";
inline constexpr Text bass_extreme = "{} at {}";
inline constexpr Text bass_change =
    "Unevenness, mean over the places: {}\u00a0dB (95\u00a0% interval {} to {}\u00a0dB), no finding drawn.";
inline constexpr Text bass_change_of_one = "Unevenness: {}\u00a0dB at one place, without an interval.";
inline constexpr Text bass_spread =
    "Difference between the places (standard deviation, mean over the frequencies): {}\u00a0dB before, "
    "{}\u00a0dB after.";
inline constexpr Text clarity_head = "Early decay and clarity: mean change over all positions with its plain "
                                     "95\u00a0% interval, no finding drawn (JSON has all bands)";
inline constexpr Text chain_head = "The visits between";
inline constexpr Text chain_visit = "Visit {} against {}: {}{}";
inline constexpr Text chain_one_type = "New in visit {}: {}, all of one type: what that type added, from the "
                                       "decays of this visit and the one before "
                                       "it.";
inline constexpr Text chain_types =
    "New in visit {}: {}, of several types: what they added together, not told apart.";
inline constexpr Text question_method =
    "The question was tested alone at 5\u00a0%, each band weighing by its bandwidth. ";
inline constexpr Text compare_method_paired =
    "Comparison: at each position the logarithm of the ratio after to before, Student's t; bands lend each "
    "other what they know of the scatter (Smyth 2004). ";
inline constexpr Text compare_method_unpaired =
    "Comparison: logarithms of the decay times of the two states, Welch's t; bands lend each other what they "
    "know of the scatter (Smyth 2004). ";
inline constexpr Text compare_method_common =
    "Holm's correction over bands and modes together, the bands with four fifths of the 5\u00a0%. Values "
    "that the band filter hides enter as upper "
    "bounds. “Shown "
    "unchanged”: two one-sided tests at 5\u00a0%, margin 15\u00a0% below 200\u00a0Hz and 5\u00a0% from there "
    "on.";
inline constexpr Text absorption_key =
    "Added: equivalent absorption area added in a room of {} (Sabine's formula, ISO 354), with its "
    "95\u00a0% interval.";

} // namespace ebbmark::texts
