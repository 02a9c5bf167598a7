// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `compare` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "results/compared.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// One JSON object; numbers in four significant digits, so that the same measurement gives the same bytes.
std::string to_json(const CompareReport& report);

/// One table: a row for the question, one per band, one per mode; one quantity per column.
std::string to_csv(const CompareReport& report);

/// A short report for a terminal of 100 columns: what was found, then the table, then what it rests on.
std::string to_text(const CompareReport& report);

/// What stands first where evidence is not as recorded; empty where all is.
std::string evidence_warning(const std::optional<EvidenceFaults>& faults);

/// The decay time after, or its upper bound, as people read it: "0.52", "≤ 0.21", "–".
std::string after_shown(const BandFinding& band);

} // namespace ebbmark
