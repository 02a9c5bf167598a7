// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof: what was found, band by band, mode by mode.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text bands_head = "Every band";
inline constexpr Text bands_key =
    "change: with its 95\u00a0% interval for that band alone. could show: the smallest shortening that this "
    "data would have found in 80\u00a0% of cases; where no change is shown a smaller one may be there all "
    "the "
    "same. finding: with the risk of any false one held at 5\u00a0% over all bands and modes together.";
inline constexpr Text general_head =
    "The room in general, with {} positions as a sample of it; prediction and after{}";
inline constexpr Text band_by_band = "Band by band{}: {}";
inline constexpr Text general_key =
    "room in general: positions taken as a sample of all places. predicted: decay after, with its interval; "
    "a dash: none predicted.";
inline constexpr Text modes_caption = "Room modes told apart before, all positions together: {}";
inline constexpr Text modes_prediction_caption =
    "Room modes against the prediction, T60, all positions together";
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
inline constexpr Text added_table_caption = "Absorption area added{}";
inline constexpr Text added_caption = "From the decay times of both visits{} (ISO 354, from memory) in a "
                                      "room of {}; bars: 95\u00a0% interval.{}";
inline constexpr Text added_caption_predicted =
    " Tinted: what the predicted decay times amount to, by the same formula.";
inline constexpr Text added_none = "The room's volume is not given, so no absorption area can be told.";
inline constexpr Text added_schroeder = "Below the Schroeder frequency of {}\u00a0Hz the figures are as if "
                                        "the sound were diffuse: they belong to "
                                        "this place, not to the traps alone.";
inline constexpr Text further_head = "Further measures";

} // namespace ebbmark::texts
