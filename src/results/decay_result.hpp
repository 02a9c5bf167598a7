// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/decay.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// One analysed channel and where it came from.
struct DecayEntry {
    std::string file;
    int channel = 1; ///< counted from 1
    double rate_hz = 0;
    ResponseDecay decay;
};

struct DecayReport {
    bool simulated = false;
    std::vector<DecayEntry> responses;
};

} // namespace ebbmark
