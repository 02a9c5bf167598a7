// SPDX-License-Identifier: GPL-3.0-or-later
// Points of the standard normal distribution.
#pragma once

namespace ebbmark {

/// 95 of 100 values lie between minus this and this.
inline constexpr double normal_two_sided_95 = 1.959964;

/// The median magnitude: half of all values lie between minus this and this.
inline constexpr double normal_median_magnitude = 0.67449;

} // namespace ebbmark
