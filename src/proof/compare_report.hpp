// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `compare` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "verdict/comparison.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// One input file as evidence.
struct EvidenceFile {
    std::string name;
    std::string sha256; ///< 64 hexadecimal digits, or empty where not computed
};

/// The stored table that the comparison was held against.
struct PredictionSource {
    EvidenceFile table;
    std::string stored_at; ///< ISO 8601
};

struct CompareReport {
    bool simulated = false;
    std::string before = "before"; ///< what the two states are called
    std::string after = "after";
    std::vector<EvidenceFile> before_files; ///< in the order in which they were paired
    std::vector<EvidenceFile> after_files;
    std::optional<double> volume_m3; ///< as given for the added absorption
    std::optional<PredictionSource> prediction;
    Comparison comparison;
};

/// One JSON object; numbers in four significant digits, so that the same measurement gives the same bytes.
std::string to_json(const CompareReport& report);

/// One row per band, one quantity per column.
std::string to_csv(const CompareReport& report);

/// A short report for a terminal of 100 columns: what was found, then the table, then what it rests on.
std::string to_text(const CompareReport& report);

/// The decay time after, or its upper bound, as people read it: "0.52", "≤ 0.21", "–".
std::string after_shown(const BandFinding& band);

/// "4.2 (3.0 to 5.6)": an area with its interval.
std::string area_text(const Measured& area_m2);

} // namespace ebbmark
