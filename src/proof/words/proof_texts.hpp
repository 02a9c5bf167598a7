// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

// ---- the proof, first page

inline constexpr Text proof_five_head = "Five room modes that rang longest";
inline constexpr Text proof_no_modes_plain = "No room mode could be told apart before the build.";
inline constexpr Text chart_result = "Decay time in seconds, by frequency";
inline constexpr Text chart_predicted = "predicted";
inline constexpr Text chart_target = "target limit";
inline constexpr Text chart_measured = "measured";
inline constexpr Text chart_added = "Absorption area added, {}";
inline constexpr Text chart_curves = "Level in dB over time in s";
inline constexpr Text result_caption = "Circles {}, diamonds {}, geometric means over the positions; bars: "
                                       "95\u00a0% interval of the change.{}{}";
inline constexpr Text result_caption_predicted = " Tinted: range predicted before the build.";
inline constexpr Text result_caption_late = " Tinted: range of a prediction stored too late to count.";
inline constexpr Text result_caption_target = " Dotted: upper limit of {} (from memory).";
inline constexpr Text describes_result =
    "Chart of decay times before and after against frequency, with the predicted range; bands: {}.";
inline constexpr Text describes_added = "Chart of the absorption area added against frequency; bands: {}.";
inline constexpr Text describes_curves = "Energy decay curves before and after in {} bands.";
inline constexpr Text describes_sketch = "Plan and side elevation of the room, to scale, with {} traps, {} "
                                         "sources and {} microphones.";
inline constexpr Text invoice_line = "{}, measured {} and {} at {} positions: {} Record {}.";

// ---- the proof, following pages

inline constexpr Text bands_head = "Every band";
inline constexpr Text bands_key =
    "change: with its 95\u00a0% interval for that band alone. could show: the smallest shortening that this "
    "data would have found in 80\u00a0% of cases; where no change is shown a smaller one may be there all "
    "the "
    "same. finding: with the risk of any false one held at 5\u00a0% over all bands and modes together.";
inline constexpr Text general_head = "The room in general, and the prediction band by band";
inline constexpr Text general_key =
    "room in general: positions taken as a sample of all places. predicted: decay after, with its interval.";
inline constexpr Text modes_caption = "Room modes told apart before: {}";
inline constexpr Text modes_prediction_caption = "Room modes against the prediction, T60";
inline constexpr Text modes_key =
    "T60: time for 60\u00a0dB, with the 95\u00a0% interval, places left out in turn. Not measurable: not "
    "found "
    "after, or not with single positions left out; that it rings shorter is not shown by that.";
inline constexpr Text waterfall_head = "What is left of the sound over time";
inline constexpr Text waterfall_caption =
    "At {}, both visits in the same layers of 6\u00a0dB. Dark: still loud. Named: what rings on longest.";
inline constexpr Text waterfall_noise = "At {} the noise in visit {} leaves nothing to be seen over time.";
inline constexpr Text curves_head = "Decay curves";
inline constexpr Text curves_caption =
    "At {}: what is still to come of the sound's energy. Dashed {}, solid {}, with T20. Chosen: the bands of "
    "the question that rang longest before, then 250\u00a0Hz and 1\u00a0kHz.";
inline constexpr Text added_head = "Absorption added";
inline constexpr Text added_caption =
    "From the decay times of both visits (ISO 354, from memory) in a room of {}; bars: 95\u00a0% interval.{}";
inline constexpr Text added_caption_predicted =
    " Tinted: what the predicted decay times amount to, by the same formula.";
inline constexpr Text added_none = "The room's volume is not given, so no absorption area can be told.";
inline constexpr Text added_schroeder = "Below the Schroeder frequency of {}\u00a0Hz the figures are as if "
                                        "the sound were diffuse: they belong to "
                                        "this place, not to the traps alone.";
inline constexpr Text further_head = "Further measures";
inline constexpr Text traps_head = "Traps: planned and built";
inline constexpr Text traps_none = "No trap is described in the job.";
inline constexpr Text traps_as_planned = "as planned";
inline constexpr Text traps_not_said = "not recorded";
inline constexpr Text traps_effect =
    "Trap {}: by the same method as planned {} of absorption, mean over the question's bands; as built {}.";
inline constexpr Text traps_effect_none = "Nothing was recorded as built otherwise than planned; see "
                                          "conditions and limits for what else may differ.";
inline constexpr Text traps_planned_now = "No promise fixes the plan: planned is what job.toml says now.";
inline constexpr Text fixed_head = "What job.toml says otherwise than what was fixed";
inline constexpr Text fixed_same =
    "job.toml plans now what the promise of {} fixed: checked when this was made.";
inline constexpr Text fixed_promise_counts =
    "The promise of {} counts: its question, acceptance, places and planned traps are those of this record. "
    "The room's size counts as job.toml has it now.";
inline constexpr Text fixed_question_counts =
    "What was fixed on {} counts, when the first take after the build was kept: its question and acceptance "
    "are those of this record.";
inline constexpr Text fixed_column = "as fixed";
inline constexpr Text fixed_now_column = "job.toml now";
inline constexpr Text fixed_absent = "not there";
inline constexpr Text fixed_nothing_agreed = "nothing agreed";
inline constexpr Text fixed_at_least = "at least {}\u00a0% shorter";
inline constexpr Text fixed_modes = "modes at {}";
inline constexpr Text fixed_bands = "third octaves from {} to {}";
inline constexpr Text fixed_trap = "{} × {}; {}; {}; {}";
inline constexpr Text fixed_open = "sides open";
inline constexpr Text fixed_closed = "sides closed";
inline constexpr Text fixed_place = "{} to the rear, {} to the right, {} up; {}";
inline constexpr Text sketch_head = "Where everything stood";
inline constexpr Text sketch_plan = "from above, front wall at the top";
inline constexpr Text sketch_elevation = "from the right side, front wall at the left";
inline constexpr Text sketch_none = "No sketch: the job gives the room no length, width and height. "
                                    "Coordinates below are from the front left "
                                    "floor corner.";
inline constexpr Text sketch_caption =
    "Lettered areas: traps. Triangles: loudspeaker places. Circles: microphone places, filled where somebody "
    "listens.";
inline constexpr Text sketch_moved = " Dashed: where a trap was planned, before it was built elsewhere.";
inline constexpr Text places_caption = "Places, from the front left floor corner";
inline constexpr Text place_source = "loudspeaker";
inline constexpr Text place_microphone = "microphone";
inline constexpr Text place_listening = "microphone, listening place";
inline constexpr Text wool_mass = "{} of wool weighed in";
inline constexpr Text photos_head = "Photos";
inline constexpr Text photos_missing = "{} is named in the job but could not be shown: {}.";
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
    "A promise was made on {} and handed to the client with these digits. Compare them with the client's own "
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
inline constexpr Text evidence_list = "Files and their SHA-256";

} // namespace ebbmark::texts
