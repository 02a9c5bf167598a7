// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof, first page.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text column_promised = "promised";
inline constexpr Text column_came = "came";
inline constexpr Text column_so = "so it is";
inline constexpr Text promised_decay = "decay, {}";
inline constexpr Text promised_agreed = "agreed: {}";
inline constexpr Text promised_at_least = "at least {}\u00a0% shorter";
inline constexpr Text promise_not_measured =
    "What came of the promise could not be measured, or not compared.";
inline constexpr Text promised_not_judged = "not judged";
inline constexpr Text promised_modes = "room modes: {}";
inline constexpr Text promised_one_by_one = "one by one";
inline constexpr Text promised_modes_came = "{} as predicted, {} less, {} more; {} cannot be told";
inline constexpr Text size_shorter = "shorter by {}";
inline constexpr Text size_longer = "longer by {}";
inline constexpr Text first_page_rest = "What this means and what it rests on: the next pages.";
inline constexpr Text answer_page_head = "The answer, and what it means";
inline constexpr Text lacking = "NOT COMPLETE. {}";
inline constexpr Text lacking_protocol = "{} lines of its protocol are blank";
inline constexpr Text lacking_in_visit = "Visit {}: {}.";
inline constexpr Text proof_no_modes_plain = "No room mode could be told apart before the build.";
inline constexpr Text chart_result = "Decay time in seconds, by frequency";
inline constexpr Text chart_predicted = "predicted";
inline constexpr Text chart_target = "target limit";
inline constexpr Text chart_measured = "measured";
inline constexpr Text chart_added = "Absorption area added, {}";
inline constexpr Text chart_curves = "Level in dB over time in s";
inline constexpr Text result_caption = "Circles {}, diamonds {}: geometric means{}; bars: "
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
inline constexpr Text invoice_line = "{}, measured {} and {}: {} Record {}.";

} // namespace ebbmark::texts
