// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `waterfall` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "ringing/waterfall.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct WaterfallEntry {
    std::string name; ///< a file, or visit and take
    double rate_hz = 0;
    Waterfall waterfall;
};

struct WaterfallReport {
    bool simulated = false;
    std::vector<WaterfallEntry> entries; ///< one; or before and after, on the same axes
};

std::string to_json(const WaterfallReport& report);

/// One row per frequency and response: decay time, then the level of every slice.
std::string to_csv(const WaterfallReport& report);

/// For reading on a terminal: what rings longest, and what the picture can resolve.
std::string to_text(const WaterfallReport& report);

} // namespace ebbmark
