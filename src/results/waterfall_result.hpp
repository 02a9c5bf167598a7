// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ringing/waterfall.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct WaterfallEntry {
    std::string name; ///< a file, or visit and take
    double rate_hz = 0;
    Waterfall waterfall;
    std::vector<double> hum_hz = {}; ///< lines of the mains that may be left in the response
};

struct WaterfallReport {
    bool simulated = false;
    std::vector<WaterfallEntry> entries; ///< one; or before and after, on the same axes
};

} // namespace ebbmark
