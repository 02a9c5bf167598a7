// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `ringing` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "results/ringing_result.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const RingingReport& report);

/// One row per mode, then one per unresolved range, state by state; levels per position in columns of their
/// own.
std::string to_csv(const RingingReport& report);

/// For reading on a terminal: the modes, what cannot be told, and what it means.
std::string to_text(const RingingReport& report);

} // namespace ebbmark
