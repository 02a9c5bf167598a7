// SPDX-License-Identifier: GPL-3.0-or-later
// What the demo found, with the virtual room's own decay beside it.
#pragma once

#include "base/bands.hpp"
#include "job/verify.hpp"
#include "results/compared.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// One band of one visit over all positions.
struct TruthRow {
    std::string visit;
    Band band;
    int given = 0;  ///< positions with a T20
    int inside = 0; ///< of those, with the room's own decay inside the 95 % interval
    int empty = 0;
    double measured_s = 0; ///< sums over the positions given, for their means
    double true_s = 0;
};

struct DemoReport {
    std::string job;
    std::vector<TruthRow> truth;
    CompareReport comparison;
    Verification verification;
};

} // namespace ebbmark
