// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof, first page.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

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

} // namespace ebbmark::texts
