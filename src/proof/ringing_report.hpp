// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `ringing` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "ringing/ringing.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct RingingReport {
    bool simulated = false;
    std::vector<std::string> files; ///< one per position
    double rate_hz = 0;
    Ringing ringing;
};

std::string to_json(const RingingReport& report);

/// One row per mode, then one per unresolved range; levels per position in columns of their own.
std::string to_csv(const RingingReport& report);

/// For reading on a terminal: the modes, what cannot be told, and what it means.
std::string to_text(const RingingReport& report);

} // namespace ebbmark
