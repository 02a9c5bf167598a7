// SPDX-License-Identifier: GPL-3.0-or-later
// The object shared by `deconvolve`, `take` and `import`: one response and the checks of its recording. Pure.
#pragma once

#include "results/examined_recording.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const DeconvolveReport& report);

/// One row per band.
std::string to_csv(const DeconvolveReport& report);

/// Accepted or not, the checks with what to do about those that failed, and how far each band decays.
std::string to_text(const DeconvolveReport& report);

} // namespace ebbmark
