// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ringing/naming.hpp"
#include "ringing/pairing.hpp"
#include "ringing/ringing.hpp"
#include "verdict/mode_change.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// One state of the room.
struct RingingState {
    std::vector<std::string> files; ///< one per position
    double rate_hz = 0;
    Ringing ringing;
    std::array<Measured, 3> energy_left_db; ///< 20 to 200 Hz, after 100, 200 and 300 ms
};

struct RingingReport {
    bool simulated = false;
    double from_hz = 20, to_hz = 200;
    RingingState state;
    std::vector<ModeCount> counts;     ///< where dimensions were given
    std::optional<RingingState> after; ///< a later state
    std::vector<PairedMode> pairs;     ///< of both
    std::vector<ModePair> changes;     ///< of the pairs that have a state before, in their order
};

} // namespace ebbmark
