// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof: how it was measured, and its evidence.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text standard_head = "What a test report after ISO 3382-2 asks for";
inline constexpr Text standard_note =
    "Items from memory of the standard's clause on the test report. This record is the contractor's own, not "
    "that of an accredited laboratory.";
inline constexpr Text the_same = "the same";
inline constexpr Text listening_star = "*";
inline constexpr Text item_room = "room, address";
inline constexpr Text item_size = "size and volume";
inline constexpr Text item_date = "date";
inline constexpr Text item_party = "measured by";
inline constexpr Text item_state = "condition of the room";
inline constexpr Text item_air = "air temperature, relative humidity";
inline constexpr Text item_source = "loudspeaker (its directivity was not measured)";
inline constexpr Text item_settings = "its settings";
inline constexpr Text item_signal = "test signal";
inline constexpr Text item_microphone = "microphone";
inline constexpr Text item_recorder = "recorder";
inline constexpr Text item_calibration = "calibration (decay times need none)";
inline constexpr Text item_positions = "source-microphone pairs (* listening place)";
inline constexpr Text item_grade = "degree of precision";
inline constexpr Text item_method = "decay method";
inline constexpr Text item_method_words = "integrated impulse response; noise subtracted, tail completed; "
                                          "band filters run backwards in time; T20 from "
                                          "−5 to −25 dB";
inline constexpr Text item_average = "averaging";
inline constexpr Text item_average_words = "before and after at each position; geometric means over the "
                                           "positions. Lowest band first; sketch and curves "
                                           "are in this record";
inline constexpr Text item_exceptions = "conformity and exceptions";
inline constexpr Text item_exceptions_words = "no conformity is declared: small rooms, listening places and "
                                              "single loudspeakers depart from the standard";
inline constexpr Text state_furniture = "furniture: {}";
inline constexpr Text state_doors = "doors: {}";
inline constexpr Text state_windows = "windows: {}";
inline constexpr Text state_patch = "{}: {}"; ///< its name and state
inline constexpr Text state_ventilation = "ventilation: {}";
inline constexpr Text state_persons = "persons: {}";
inline constexpr Text signal_sweep = "exponential sweep {} to {}, {} s, {} times, peak {} dBFS";
inline constexpr Text signal_response = "impulse responses made elsewhere";
inline constexpr Text calibration_none = "none kept: levels are relative";
inline constexpr Text visit_notes = "Notes on visit {}: {}";
inline constexpr Text setting_start = "Sweep from {} (usually {}) Hz";
inline constexpr Text setting_stop = "Sweep to {} (usually {}) Hz";
inline constexpr Text setting_seconds = "Sweep of {} (usually {}) s";
inline constexpr Text setting_level = "Sweep at a peak of {} (usually {}) dBFS";
inline constexpr Text setting_repeats = "{} sweeps in a row (usually {})";
inline constexpr Text setting_rate = "Sweep at a rate of {} (usually {}) Hz";
inline constexpr Text setting_channel = "Recorded on channel {} (usually {})";
inline constexpr Text setting_response = "Impulse response made elsewhere, not a recording,";
inline constexpr Text setting_loopback = "Electrical loopback on channel {}";
inline constexpr Text in_all_takes = "in all takes.";
inline constexpr Text in_takes = "in {}.";
inline constexpr Text takes_head = "Every take";
inline constexpr Text takes_count =
    "{} takes made: {} used, {} returns used, {} rejected by their own checks, "
    "{} left out by hand. Nothing is deleted.";
inline constexpr Text take_from = "sound device, or file brought in";
inline constexpr Text take_all_from = "All takes: {}.";
inline constexpr Text take_used = "used";
inline constexpr Text take_return = "return";
inline constexpr Text take_rejected = "rejected";
inline constexpr Text take_excluded = "left out";
inline constexpr Text settings_head = "Settings that are not the usual ones";
inline constexpr Text settings_none = "All settings are the program's usual ones.";
inline constexpr Text quality_head = "Quality of the recordings";
inline constexpr Text quality_none = "The takes hold no checks: they are impulse responses made elsewhere.";
inline constexpr Text quality_key = "worst: the figure nearest to, or furthest beyond, its limit over all "
                                    "takes. noted: takes in which it was "
                                    "beyond, and the result stands. widened: takes from which figures are "
                                    "left out for it, so that intervals are "
                                    "wider. rejected: takes of which nothing is used.";
inline constexpr Text method_limits_head = "Method, limits, cautions";
inline constexpr Text evidence_page_head = "Evidence";
inline constexpr Text evidence_sealed =
    "A promise was made on {} with these digits, to be handed to the client: compare them with the client's "
    "own "
    "copy. Checked when this was made: the promise and all {} files that it lists are in the job with the "
    "hashes that these digits seal. So the same digits prove that planned traps, question, prediction and "
    "these files were not changed since.";
inline constexpr Text evidence_seal_broken =
    "A promise was made on {} with these digits, but of the {} files that it lists only {} are as they were. "
    "The digits prove nothing of the others.";
inline constexpr Text evidence_seal_whole =
    "A promise was made on {} with these digits, and all {} files that it lists are as they were. What "
    "differs "
    "in this job lies outside it, and these digits prove nothing of that.";
inline constexpr Text evidence_seal_unchecked =
    "A promise was made on {} with these digits. It could not be checked what it lists, so they prove "
    "nothing.";
inline constexpr Text evidence_contractor_only =
    "Sealed by the contractor only: no promise was made before the visit after the build, so no copy outside "
    "the contractor's hands fixes the earlier files.";
inline constexpr Text evidence_question_fixed = "The question was fixed {}.";
inline constexpr Text evidence_check = "To check: ebbmark verify JOB --digest {}. To repeat the evaluation: "
                                       "ebbmark bundle JOB OUT.zip packs all "
                                       "recordings with instructions. Ebbmark {}.";
inline constexpr Text evidence_intact =
    "Checked when this was made: all {} files of the evidence agree with the job's list, and the list with "
    "the hashes that the takes and promises themselves bear.";
inline constexpr Text evidence_broken =
    "THE EVIDENCE IS NOT INTACT ({}). What follows rests on the files as they are now and proves nothing.";
inline constexpr Text evidence_broken_short = "THE EVIDENCE IS NOT INTACT.";
inline constexpr Text responses_anew =
    "The {} impulse responses were made anew from the recordings for this record.";
inline constexpr Text since_promise_none =
    "Since the promise no take was added to a visit that was measured by then, none of it left out, and no "
    "protocol of it changed. Takes of later visits: {}, of them {} left out by hand.";
inline constexpr Text since_promise_moved = "SINCE THE PROMISE, in visits that were measured by then: {} "
                                            "added, {} left out by hand, {} changed. Takes of "
                                            "later visits: {}, of them {} left out by hand.";
inline constexpr Text since_promise_moved_short = "Since the promise, in visits that were measured by then: "
                                                  "{} added, {} left out by hand, {} changed. The page "
                                                  "on the evidence names them.";
inline constexpr Text one_take = "1 take";
inline constexpr Text some_takes = "{} takes";
inline constexpr Text one_protocol = "1 protocol";
inline constexpr Text some_protocols = "{} protocols";
inline constexpr Text since_added = "added: {}";
inline constexpr Text since_left_out = "left out: {}";
inline constexpr Text since_protocol = "changed: {} (as it stood: {}): {}";
inline constexpr Text since_spelling = "remarks or spelling";
inline constexpr Text digits_same_day =
    "Visit {}: the job notes that these digits were shown on its day, {}. They stand for all files that were "
    "kept by then. If the client wrote the same down on that day, none of these files was changed or taken "
    "away "
    "since, and verify names with them what was added or left out; if nobody did, they prove nothing:";
inline constexpr Text digits_later =
    "Visit {}: the job notes that these digits were first shown on {}, not on the day of its takes. Until "
    "then its takes could have been chosen afterwards:";
inline constexpr Text digits_none =
    "Visit {}: no digits were shown after it. Its takes could have been chosen afterwards.";
inline constexpr Text evidence_list = "Files and their SHA-256";

} // namespace ebbmark::texts
