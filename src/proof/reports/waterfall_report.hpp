// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `waterfall` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "results/waterfall_result.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const WaterfallReport& report);

/// One row per frequency and response: decay time, then the level of every slice.
std::string to_csv(const WaterfallReport& report);

/// For reading on a terminal: what rings longest, and what the picture can resolve.
std::string to_text(const WaterfallReport& report);

} // namespace ebbmark
