// SPDX-License-Identifier: GPL-3.0-or-later
// Every text for people in results and documents, in one place for translation. Braces are filled in by fmt;
// \u00a0 is a no-break space. Names of CSV columns and JSON fields are fixed and stand with their writers.
#pragma once

#include "base/measured.hpp"

#include <string_view>

namespace ebbmark::texts {

using Text = std::string_view;

// ---- small words

inline constexpr Text range = "{} to {}";
inline constexpr Text between = "between {} and {}";
inline constexpr Text and_joiner = " and ";
inline constexpr Text at_most = "≤ {}";
inline constexpr Text none = "–";
inline constexpr Text hertz = "Hz";
inline constexpr Text simulated_mark = "SIMULATED";
inline constexpr Text simulated_line =
    "SIMULATED: at least one input comes from a virtual room, not a real one.";

// ---- why a quantity is empty

constexpr Text reason(Empty empty) {
    switch (empty) {
    case Empty::noise:
        return "the decay meets the noise too early";
    case Empty::filter:
        return "shorter than the band filter can show";
    case Empty::source:
        return "the test signal has nothing there";
    case Empty::length:
        return "the recording is cut too early";
    case Empty::overlap:
        return "modes too close together to tell apart";
    case Empty::disturbed:
        return "another sound is in the recording";
    case Empty::one_position:
        return "one position is not enough";
    case Empty::conditions:
        return "the conditions of the two states differ too much";
    case Empty::excluded:
        return "left out on request";
    }
    return "";
}
inline constexpr Text reasons_head = "Empty where it cannot be known: ";
inline constexpr Text reason_entry = "{} = {}";

// ---- decay

inline constexpr Text decay_title = "Decay of {}, channel {}, {}\u00a0Hz, onset at {}\u00a0s";
inline constexpr Text group_long = "how long";
inline constexpr Text group_straight = "how straight";
inline constexpr Text group_sure = "how sure";
inline constexpr Text group_clear = "how clear";
inline constexpr Text no_bands = "No band lies in the range asked for.";
inline constexpr Text decay_method = "Decay: backward integration of the squared impulse response (ISO "
                                     "3382-1). Band filters IEC 61260-1 class 1, run "
                                     "backwards in time. EDT from 0 to −10\u00a0dB, T20 from −5 to "
                                     "−25\u00a0dB, T30 from −5 to −35\u00a0dB, each "
                                     "as the time for 60\u00a0dB. The noise is subtracted, the curve cut "
                                     "where it meets the noise, the missing tail "
                                     "added. A time counts only where the noise lies 10\u00a0dB (EDT: "
                                     "15\u00a0dB) below its range and bandwidth "
                                     "times decay time is at least 4.";
inline constexpr Text decay_key =
    "xi: non-linearity, 0 to 5 usual, above 10 far from straight. C: curvature, T30 against T20. range: "
    "decay "
    "range from the start to the noise. B·T: bandwidth times decay time. ≤: upper bound, the decay is "
    "shorter "
    "than the band filter can show. 95\u00a0%: interval of the longest range given.";
inline constexpr Text band_note = "{}: {}";

// ---- one visit

inline constexpr Text visit_title = "Visit {}: {} positions in the room, {} at listening places";
inline constexpr Text visit_room_mean = "Mean over the room: {}";
inline constexpr Text visit_listening_mean = "Listening places, apart from the room: {}";
inline constexpr Text visit_mean_key =
    "Means are arithmetic. T20, T30: with the 95\u00a0% interval that the spread between positions gives. "
    "shape: where all positions agree. spread: standard deviation of T20 between positions. n: positions "
    "with "
    "a T20 of all.";
inline constexpr Text visit_room_head = "Room";
inline constexpr Text visit_room_size = "Volume {}, surface {}, air {}\u00a0°C and {}\u00a0% humidity.";
inline constexpr Text unknown = "not known";
inline constexpr Text cubic_metres = "{}\u00a0m³";
inline constexpr Text square_metres = "{}\u00a0m²";
inline constexpr Text visit_schroeder =
    "Schroeder frequency {}\u00a0Hz, from the mean decay time of {}\u00a0s between 400\u00a0Hz and "
    "1.25\u00a0kHz. Below it single modes ring, and the absorption is a figure as if the sound were diffuse.";
inline constexpr Text visit_absorption_key =
    "A: equivalent absorption area without the air, 55.3\u00a0V/(c\u00a0T) − 4\u00a0V\u00a0m (ISO 354, from "
    "memory). air: that of the air, 4\u00a0V\u00a0m (ISO 9613-1). α: A over the surface.";
inline constexpr Text as_if_diffuse = "as if diffuse";
inline constexpr Text visit_targets_head = "Targets";
inline constexpr Text visit_no_target = "No target is set in job.toml ([room] target).";
inline constexpr Text visit_target = "{}: nominal decay time {}\u00a0s for this volume.";
inline constexpr Text visit_target_plain = "{}: {}";
inline constexpr Text visit_grade_head = "Grade of the set-up";
inline constexpr Text visit_grade = "{} grade of ISO 3382-2: {} source-microphone pairs, {} source and {} "
                                    "microphone places, none of them a listening place.";
inline constexpr Text visit_no_grade =
    "No grade of ISO 3382-2 is reached: {} source-microphone pairs, {} source "
    "and {} microphone places, none of them a listening place.";
inline constexpr Text visit_accuracy = "Nominal accuracy of the mean: {}\u00a0%.";
inline constexpr Text visit_wanted = "{}\u00a0m or more";
inline constexpr Text visit_holds_from = "enough from {}\u00a0Hz up";
inline constexpr Text visit_never_holds = "enough at no frequency";
inline constexpr Text visit_return_head = "Return to {}: T20 measured again after moving the microphone away";
inline constexpr Text visit_positions_head = "Every position";
inline constexpr Text visit_position = "{}, {}, {}\u00a0Hz, onset at {}\u00a0s";
inline constexpr Text visit_listening_position = "{} (listening place), {}, {}\u00a0Hz, onset at {}\u00a0s";
inline constexpr Text visit_digest = "Evidence {}\nEbbmark {}";

// ---- before against after

inline constexpr Text compare_title_paired = "Before against after: {} positions, each against itself";
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
inline constexpr Text answer_prediction = "Predicted was {}\u00a0% ({}\u00a0%); it came out {}.";
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
inline constexpr Text modes_predicted =
    "{} modes were predicted one by one; {} came out as predicted. Of the same modes as above:";
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
inline constexpr Text clarity_head = "Early decay and clarity: change with its plain 95\u00a0% interval, no "
                                     "finding drawn (JSON has all bands)";
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

// ---- recording to response

inline constexpr Text response_accepted = "Accepted: {}";
inline constexpr Text response_noted = "Accepted with notes: {}";
inline constexpr Text response_rejected = "REJECTED by its own checks: {}";
inline constexpr Text response_delay = "The sweep starts {}\u00a0s after the start of the recording.";
inline constexpr Text response_drift = "The recorder's clock runs {}\u00a0ppm {} than the player's.";
inline constexpr Text response_calibration = "Calibrated with {} {} (SHA-256 {}…, {}).";
inline constexpr Text undated = "no date in it";
inline constexpr Text fast = "faster";
inline constexpr Text slow = "slower";
inline constexpr Text check_outside = "{} {} (limit {} {})";
inline constexpr Text check_advice = ". To mend: {}";
inline constexpr Text check_limit = "limit {}";

// ---- charts

inline constexpr Text many_responses = "{} responses";
inline constexpr Text chart_seconds = "Decay time in seconds";
inline constexpr Text chart_seconds_t20 = "Decay time T20 in seconds";
inline constexpr Text chart_change = "Change in %, with 95\u00a0% interval";
inline constexpr Text chart_change_key =
    "Filled: a change is shown. Grey: a shortening this small could stay hidden.";
inline constexpr Text chart_nothing = "no decay time could be measured";
inline constexpr Text chart_describes_decay =
    "Chart of decay times in seconds against frequency; number of responses: {}.";
inline constexpr Text chart_describes_comparison = "Chart of decay times before and after, and of the change "
                                                   "with its interval; number of frequency bands: {}.";

// ---- the page

inline constexpr Text page_title = "Before-and-after measurement record";
inline constexpr Text in_octaves = " · octave bands";
inline constexpr Text in_third_octaves = " · one-third-octave bands";
inline constexpr Text page_footer = "Ebbmark {} · {}";
inline constexpr Text page_of = "page {} of {}";
inline constexpr Text table_caption = "Decay time {}: geometric mean over the positions";
inline constexpr Text column_band = "band";
inline constexpr Text column_change = "change";
inline constexpr Text column_interval = "95\u00a0% interval";
inline constexpr Text column_could_show = "could show";
inline constexpr Text column_finding = "finding";
inline constexpr Text column_added = "added";
inline constexpr Text column_predicted = "predicted";
inline constexpr Text meaning_head = "What it means";
inline constexpr Text meaning_shorter =
    "Shorter: in these bands the sound dies away faster than before, by more than chance explains.";
inline constexpr Text meaning_longer =
    "Longer: in these bands the sound takes more time to die away than before, by more than chance explains.";
inline constexpr Text meaning_error = "The risk that even one “shorter” or “longer” among all bands and "
                                      "modes is a false alarm is held at 5\u00a0%. Each "
                                      "interval is for its band alone.";
inline constexpr Text meaning_unchanged =
    "Shown unchanged: whatever change there is, it is smaller than the margin named under the method.";
inline constexpr Text meaning_not_shown = "No change shown: the measurement cannot tell a change from chance "
                                          "there. It does not say that everything "
                                          "stayed as it was. “Could show” is the smallest shortening that it "
                                          "would have found in 80\u00a0% of cases.";
inline constexpr Text meaning_not_measurable =
    "Not measurable: no finding is possible; the table gives the reason.";
inline constexpr Text limits_head = "What it does not prove";
inline constexpr Text limits_cause = "What caused a change: doors, furniture, persons, air, and the places "
                                     "of loudspeaker and microphone must have "
                                     "been the same both times.";
inline constexpr Text limits_places =
    "How the room sounds where nobody measured, or in bands without a value.";
inline constexpr Text limits_rules = "Sound insulation, loudness, or that any rule or standard is met: this "
                                     "is the measuring party's own record, "
                                     "not an accredited test.";
inline constexpr Text method_head = "How it was evaluated";
inline constexpr Text caution_head = "Caution when repeating it";
inline constexpr Text caution_loud = "Test signals can hurt ears and loudspeakers: start quietly, wear "
                                     "hearing protection, warn everybody nearby.";
inline constexpr Text remarks_head = "Remarks";
inline constexpr Text remarks_left_out = "Further remarks without room here: {}. All are in the JSON result.";
inline constexpr Text evidence_head = "Responses compared, with their SHA-256";
inline constexpr Text evidence_head_cut =
    "Responses compared, with the first half of their SHA-256 (whole in the JSON result)";
inline constexpr Text evidence_left_out = "{} more, listed in the JSON result";

// --- test signal
inline constexpr Text sweep_written = "{}: {} × {} s from {} to {}, {} s in all, {} sample rate, peak {} dBFS"
                                      "\n{}: its description; keep both together\n\nBefore you play it:\n";
// Hearing: NIOSH recommended exposure limit, 85 dB(A) for 8 h, halved for every 3 dB more.
inline constexpr Text sweep_cautions[] = {
    "Turn the amplifier down first and raise it in steps. Above 85 dB(A) wear hearing protection and keep "
    "everybody "
    "out of the room; never listen to it on headphones. Bass is louder than it seems and than dB(A) tells.",
    "Start at or above the loudspeaker's stated lowest frequency (--from): below it the cone moves far and "
    "may be "
    "damaged. Tweeters take only a few watts for long; prefer a longer sweep to a louder one.",
    "Mute the loudspeakers before you change cables. Rattling things spoil the decay: fix or remove them."};

// --- devices, level
inline constexpr Text device_default_input = "default for recording";
inline constexpr Text device_default_output = "default for playing";
inline constexpr Text devices_use =
    "Choose one with --device NUMBER, or with any part of its driver and name that fits only it; different "
    "ones for playing and recording with --output and --input.";
inline constexpr Text level_cautions[] = {
    "Put hearing protection on and send everybody out; tell people elsewhere in the building. Never listen "
    "on headphones.",
    "Turn the amplifier down before the first sweep: it starts quietly and rises by 6 dB a step, up to "
    "--limit. Stop "
    "with Ctrl-C: playing ends faded, at once.",
    "Below its stated lowest frequency a loudspeaker's cone moves far and may be damaged; tweeters take only "
    "a few "
    "watts for long. Write lowest into [[source]] of job.toml, and no sweep starts below it.",
    "Above 85 dB(A) hearing can be harmed in a working day, in half of that for every 3 dB more. Local rules "
    "decide."};
inline constexpr Text level_wanted = "wanted";
inline constexpr Text level_enough = "Loud enough: a longer sweep gives the rest.";
inline constexpr Text level_limit = "Stopped at the limit of {} dBFS. If the recorded peak is low, turn the "
                                    "amplifier or the microphone's gain up and run level again.";
inline constexpr Text level_clipping = "Stopped: the last step clipped the recording. The step before it is "
                                       "proposed; a lower gain of the microphone allows more.";
inline constexpr Text level_distortion = "Stopped: the last step distorted a band that is wanted by more "
                                         "than 10 %. The step before it is proposed.";
inline constexpr Text level_stopped = "Stopped before a level was found. {1}";
inline constexpr Text level_none = "No level is proposed: no test sweep was found in the recordings. Check "
                                   "that loudspeaker and microphone are "
                                   "connected and switched on, then run level again.";
inline constexpr Text level_proposal =
    "Proposed and kept for takes with loudspeaker {} on output {} of \"{}\" "
    "at {}: peak {} dBFS, {} sweeps of {} s "
    "from {}: {} s a take; {} takes of a visit are {} "
    "minutes of sound. No such take is played louder; another output, "
    "loudspeaker or rate needs a level of its own.";
inline constexpr Text level_short =
    "Short of {1} dB of decay range even so: {0}. Wait for a quieter hour, switch off fans and "
    "machines, or raise --limit if ears and loudspeaker allow it.";

// --- predict
inline constexpr Text forecast_trap = "{}: face {}\u00a0m², {}\u00a0m deep; from the wall: {}. Model: {}.";
inline constexpr Text forecast_schroeder =
    "Below the Schroeder frequency of {}\u00a0Hz single modes ring and the statistical formulas mean "
    "nothing: "
    "a decay is predicted there from the modes alone, or not at all (conditions). The added absorption there "
    "is a figure as if the sound were diffuse.";
inline constexpr Text forecast_modal =
    "Modes: the wave equation of the box with the traps in it (finite elements), walls fitted to how long "
    "the modes rang before, what is left carried over. A mode is paired by its shape, below an overlap of "
    "0.6 not at all. Bands below {}\u00a0Hz: what a measurement at your places would show of these modes. "
    "Not "
    "modelled: walls that give way, furniture, doors, panels inside a trap, elastic frames. In invented "
    "rooms "
    "built otherwise than planned (wool, walls, 2 cm) the truth lay inside about 95 of 100 of these "
    "intervals; no measured room has judged them yet.";
inline constexpr Text forecast_sensitivity =
    "What the modes' damping hangs on, half of the modes by more than: flow resistivity from one end of "
    "its range to the other {}\u00a0%, frame from free to standing still {}\u00a0%, form of the pores "
    "{}\u00a0%, "
    "tortuosity {}\u00a0%.";
inline constexpr Text forecast_no_visit = "No visit before the build was measured yet, so only the traps "
                                          "themselves are predicted. Measure the room, then run "
                                          "predict again.";
inline constexpr Text forecast_variants =
    "What else would help, worked out anew. Area: absorption area more than planned, mean over {0} to {1}. "
    "Decay, where it is told: change of the mean decay there. Below the Schroeder frequency it follows from "
    "the "
    "modes alone, which --design tries for each change and for other places of the traps:";
inline constexpr Text forecast_variants_left_out = "{} further changes, less useful, are in --format json.";
inline constexpr Text forecast_at_traps = "at traps: the mode's squared pressure at the traps' faces, "
                                          "against the room's mean. Above 1.5 they stand where it is "
                                          "loud, below 0.5 they hardly reach it. overlap: the traps change "
                                          "the mode so much that none after is the same; "
                                          "not named: no single mode of the room fits it.";
inline constexpr Text forecast_aim_unknown = "Whether the plan meets what was agreed or recommended cannot "
                                             "be told: nothing of that kind is in job.toml, nothing "
                                             "was measured before, or it lies below the Schroeder frequency, "
                                             "where decay does not follow from absorption area.";
inline constexpr Text forecast_aim_met =
    "The plan meets what was agreed and recommended, in all that is forecast.";
inline constexpr Text forecast_aim_smallest =
    "The plan does not meet what was agreed or recommended. The change with the least wool that does: {}.";
inline constexpr Text forecast_aim_untried = "The plan does not meet what was agreed or recommended. Whether "
                                             "one of these changes would, --design tells.";
inline constexpr Text forecast_aim_missed =
    "Neither the plan nor any change above meets what was agreed or recommended.";
inline constexpr Text forecast_method = "Method: transfer matrix of the layers, porous ones as equivalent "
                                        "fluid; random incidence on a face of finite size "
                                        "(Thomasson 1980), so coefficients may exceed 1; open sides count as "
                                        "half of their area, none to all in the interval. "
                                        "Decay: Sabine and Eyring from the measured decay before, the wall "
                                        "behind the traps and their volume taken away, air "
                                        "after ISO 9613-1. The interval draws materials, sides, the decay "
                                        "before, the formula and the model's own error: books "
                                        "differ by 0.1 to 0.3 on one material. Not modelled: stiff frames, "
                                        "panels inside a trap, neighbouring traps' shadow.";
inline constexpr Text forecast_stored = "Kept in the job as {}, with time and SHA-256.";
inline constexpr Text chart_absorption =
    "Absorption coefficient, random incidence, of the face's area; bars: 95\u00a0% interval";
inline constexpr Text chart_describes_absorption =
    "Predicted absorption coefficients of {} traps over third-octave bands, with 95 % intervals.";

// --- job
inline constexpr Text safe_to_leave = "Safe to leave: everything that this visit needs is measured.";
inline constexpr Text not_safe_to_leave = "Not safe to leave yet.";
inline constexpr Text next_missing = "Missing:";
inline constexpr Text next_now = "Now:";
inline constexpr Text next_notes = "Notes:";
inline constexpr Text excluded =
    "Take {} is left out of the results. The recording stays; the proof shows the reason: {}";
inline constexpr Text predict_counts =
    "The prediction was stored on {}, before any visit after the build ({}, "
    "SHA-256 {}). Compare holds those visits against it.";
inline constexpr Text predict_too_late =
    "The prediction was stored on {} ({}, SHA-256 {}), when a visit after the build had been measured "
    "already. "
    "Against such a visit it is no proof of a promise, and compare says so.";
inline constexpr Text kept_take = "Kept as take {} of position {}, visit {}.";
inline constexpr Text verified_changed = "NOT INTACT. Of {} files of the evidence:";
inline constexpr Text verified_digest = "Digest:";
inline constexpr Text verified_changed_head = "Changed:";
inline constexpr Text verified_missing_head = "Missing:";
inline constexpr Text verified_added_head = "Added, no part of the evidence:";

// --- demo
inline constexpr Text demo_room =
    "A rehearsal room of 4.1 × 3.3 × 2.6 m, invented, and three invented bass traps: measured "
    "at six positions and a return, before and after.";
inline constexpr Text demo_truth =
    "Measured T20 against the virtual room's own, means over the positions; inside: positions "
    "whose 95 % interval holds the room's own value.";
inline constexpr Text inside_of = "{} of {}";
inline constexpr Text demo_inside =
    "In all {} of {} intervals hold the room's own value; {} values are empty.";
inline constexpr Text demo_pages =
    "The job is {0}. The page for the offer: {0}/results/promise.pdf; the record for the invoice: "
    "{0}/results/proof.pdf; each also as .html beside it.";

// --- ringing
// ---------------------------------------------------------------------------------------------------
inline constexpr Text position_word = "position";
inline constexpr Text positions_word = "positions";
inline constexpr Text ringing_title = "{} modes that can be told apart, from {} {}";
inline constexpr Text ringing_unresolved = "{} to {}\u00a0Hz: something rings that cannot be told ({})";
inline constexpr Text ringing_not_reached = "{} to {}\u00a0Hz: the test signal has nothing there ({})";
inline constexpr Text ringing_key = "mode: frequency of a free vibration of the room. T60: time in which it "
                                    "falls by 60\u00a0dB, with its 95\u00a0% "
                                    "interval. Q: frequency over the width of its resonance. level: at the "
                                    "onset, at the position where the mode is "
                                    "strongest, against the strongest mode of all.";
inline constexpr Text ringing_method =
    "Method: damped sinusoids, one frequency and one damping per mode for all positions together, one "
    "amplitude per "
    "position; first guess by ESPRIT, then nonlinear least squares (variable projection) in the frequency "
    "domain. The intervals allow for noise, neighbours and modes hidden behind others; those of changes also "
    "for what leaving out one position after the other does.";

inline constexpr Text ringing_after = "AFTER";
inline constexpr Text ringing_pairs = "WHAT BECAME OF EACH MODE";
inline constexpr Text mode_new = "new";
inline constexpr Text mode_vanished = "not found after";
inline constexpr Text modes_together = "{} modes together";
inline constexpr Text longest_head = "RINGS LONGEST";
inline constexpr Text not_heard_below = "not heard below";
inline constexpr Text energy_left_one =
    "Energy left in 20 to 200\u00a0Hz after 100, 200 and 300\u00a0ms, mean over the positions: {}.";
inline constexpr Text energy_left_two = "Energy left in 20 to 200\u00a0Hz after 100, 200 and 300\u00a0ms, "
                                        "mean over the positions: before {}; after {}.";
inline constexpr Text threshold_sources = "not heard below: decay time of a single mode that listeners no "
                                          "longer heard ring. (a) M. Stephenson, thesis, "
                                          "Salford 2012; (b) Q of 16, B. Avis, B. Fazenda, W. Davies 2007. "
                                          "Both second-hand, from abstracts and quotations: "
                                          "a guide, no limit.";
inline constexpr Text chart_ringing = "T60 of each mode, s";
inline constexpr Text chart_before = "before";
inline constexpr Text chart_after = "after";
inline constexpr Text chart_threshold = "not heard below (Stephenson 2012, second-hand)";
inline constexpr Text chart_describes_ringing = "Decay times of {} room modes from {} to {} Hz";

// --- waterfall
// ---------------------------------------------------------------------------------------------------
inline constexpr Text waterfall_title = "Waterfall of {}: {} slices over {}\u00a0s";
inline constexpr Text waterfall_method =
    "ridge: frequency that rings on longer than its neighbours. level: at the onset, against the strongest "
    "frequency. 60\u00a0dB: time of a fall by 60\u00a0dB, read from the slices between 5 and 25\u00a0dB "
    "down. "
    "The window resolves {}\u00a0Hz and {}\u00a0s: what is closer together is one ridge here; the command "
    "ringing tells modes apart.";
inline constexpr Text waterfall_ridge = "{}\u00a0Hz {}\u00a0s";
inline constexpr Text waterfall_resolution = "the box is what can be resolved: {}\u00a0Hz × {}\u00a0s";
inline constexpr Text waterfall_scale_top = "0\u00a0dB";
inline constexpr Text waterfall_time = "s after the onset";
inline constexpr Text chart_describes_waterfall = "Level left over time for {} responses, {} to {} Hz, in "
                                                  "layers of 6 dB from the strongest level at the onset";

} // namespace ebbmark::texts
