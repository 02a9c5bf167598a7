// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `compare` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "decay/targets.hpp"
#include "verdict/bass_response.hpp"
#include "verdict/comparison.hpp"

#include <optional>
#include <string>
#include <utility>
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

/// The mean over the room, listening places apart, against a target in one visit.
struct VisitTarget {
    std::string visit;
    std::string name; ///< of the target
    std::optional<double> nominal_s;
    std::vector<BandTarget> bands;
    std::string note; ///< why there is no judgement; empty where there is one
};

/// Peaks and dips in the bass at the places compared.
struct BassResponse {
    bool listening = false;             ///< of the listening places; else of all positions
    std::vector<std::string> positions; ///< one per place
    BassResponseChange change;
};

/// Area that the traps new in one visit added, from the decays of that visit and of the one before it.
struct TrapAbsorption {
    std::string from_visit, to_visit;
    std::vector<std::string> traps; ///< by name
    bool one_type = false;          ///< all of the same layers: the area belongs to that type
    std::vector<std::pair<Band, Measured>> area_m2;
};

struct CompareReport {
    bool simulated = false;
    std::string warning;           ///< what must be known before anything else is read, or empty
    std::string before = "before"; ///< what the two states are called
    std::string after = "after";
    std::vector<EvidenceFile> before_files; ///< in the order in which they were paired
    std::vector<EvidenceFile> after_files;
    std::optional<double> volume_m3; ///< as given for the added absorption
    std::optional<PredictionSource> prediction;
    std::vector<VisitTarget> targets;
    std::optional<BassResponse> bass_response;
    Comparison comparison;
    std::vector<std::string> notes;     ///< on what could not be compared
    std::vector<CompareReport> earlier; ///< of a chain: the visits between, each against the first
    std::vector<TrapAbsorption> by_trap;
};

/// One JSON object; numbers in four significant digits, so that the same measurement gives the same bytes.
std::string to_json(const CompareReport& report);

/// One table: a row for the question, one per band, one per mode; one quantity per column.
std::string to_csv(const CompareReport& report);

/// A short report for a terminal of 100 columns: what was found, then the table, then what it rests on.
std::string to_text(const CompareReport& report);

/// The decay time after, or its upper bound, as people read it: "0.52", "≤ 0.21", "–".
std::string after_shown(const BandFinding& band);

/// "4.2 (3.0 to 5.6)": an area with its interval.
std::string area_text(const Measured& area_m2);

} // namespace ebbmark
