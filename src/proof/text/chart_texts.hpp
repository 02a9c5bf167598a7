// SPDX-License-Identifier: GPL-3.0-or-later
// Words on charts.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

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
inline constexpr Text chart_figures = "The figures behind this chart";

} // namespace ebbmark::texts
