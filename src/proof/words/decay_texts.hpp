// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `decay` on responses.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

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

} // namespace ebbmark::texts
