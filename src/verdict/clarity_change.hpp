// SPDX-License-Identifier: GPL-3.0-or-later
// What else changed with the decay: EDT and the clarity measures. No findings are drawn from them.
#pragma once

#include "decay/decay.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// One measure in one band: means over the positions with a value in both states and their difference, each
/// in the unit of the measure; EDT as a ratio, in per cent.
struct ClarityChange {
    Band band;
    std::string measure; ///< "edt_s", "c50_db", "c80_db", "d50_percent", "ts_ms"
    int positions = 0;
    double before = 0, after = 0;
    Measured change; ///< after − before (EDT: per cent), with its plain 95 % interval from two positions on
};

/// All measures of all bands of paired states. EDT by geometric means, the others by arithmetic ones.
std::vector<ClarityChange> clarity_changes(const std::vector<ResponseDecay>& before,
                                           const std::vector<ResponseDecay>& after);

} // namespace ebbmark
