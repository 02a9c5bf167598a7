// SPDX-License-Identifier: GPL-3.0-or-later
// Energy decay curves of a few bands before and after.
#pragma once

#include "decay/decay.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// One band at one position.
struct CurvePair {
    Band band;
    std::vector<DecayPoint> before, after;
    Measured before_s, after_s; ///< T20, printed beside the curves
};

struct CurvePanels {
    std::string before, after; ///< names of the visits
    std::vector<CurvePair> pairs;
    bool simulated = false;
};

} // namespace ebbmark
