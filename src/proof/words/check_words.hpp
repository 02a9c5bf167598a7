// SPDX-License-Identifier: GPL-3.0-or-later
// What checks found, in words: one line for each outcome.
#pragma once

#include "base/quality_check.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// "noted: rattle at 84 Hz; nothing in the result depends on it": what the checks of one outcome found, those
/// with the same effect together. Empty where there is none.
std::string outcome_line(const std::vector<QualityCheck>& checks, CheckOutcome outcome);

/// The lines of all outcomes but `held`, the gravest first, wrapped; what to do follows where anything
/// depends on it.
std::string outcomes_text(const std::vector<QualityCheck>& checks, std::size_t indent = 0);

} // namespace ebbmark
