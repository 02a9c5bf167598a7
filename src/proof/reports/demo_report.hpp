// SPDX-License-Identifier: GPL-3.0-or-later
// What the demo found, with the virtual room's own decay beside it. Pure.
#pragma once

#include "decay/decay.hpp"
#include "job/verify.hpp"
#include "proof/reports/compare_report.hpp"

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

    /// Adds one position's band to its row.
    void add(const std::string& visit, const BandDecay& measured, double true_t20_s);
};

std::string to_json(const DemoReport& report);
std::string to_csv(const DemoReport& report);
std::string to_text(const DemoReport& report);

} // namespace ebbmark
