// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `decay` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "proof/reports/json_fields.hpp"
#include "results/decay_result.hpp"

#include <string>

namespace ebbmark {

/// One JSON object; numbers in four significant digits, so that the same measurement gives the same bytes.
std::string to_json(const DecayReport& report);

/// One row per response and band, one quantity per column; `empty` holds the reasons for blank cells.
std::string to_csv(const DecayReport& report);

/// One response as it stands in the array `responses`.
Json response_json(const DecayEntry& entry);

/// The table of one response under its title, with its notes.
std::string response_text(const std::string& title, const ResponseDecay& decay);

/// For reading on a terminal of 100 columns: how long, how straight, how sure, how clear.
std::string to_text(const DecayReport& report);

} // namespace ebbmark
