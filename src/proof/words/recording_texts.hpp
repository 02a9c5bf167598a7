// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `deconvolve` and of what is said of a take.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

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

} // namespace ebbmark::texts
