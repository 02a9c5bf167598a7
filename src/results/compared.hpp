// SPDX-License-Identifier: GPL-3.0-or-later
// What a comparison of two states, or of a chain of visits, found.
#pragma once

#include "decay/targets.hpp"
#include "job/evidence_faults.hpp"
#include "results/evidence_file.hpp"
#include "results/notes.hpp"
#include "verdict/bass_response.hpp"
#include "verdict/comparison.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

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
    std::optional<NotJudged> not_judged; ///< then there is no nominal_s
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
    std::optional<EvidenceFaults>
        evidence_faults; ///< which evidence is not as recorded; nothing where it is, or where there is none
    std::string before = "before"; ///< what the two states are called
    std::string after = "after";
    std::vector<EvidenceFile> before_files; ///< in the order in which they were paired
    std::vector<EvidenceFile> after_files;
    std::optional<double> volume_m3; ///< as given for the added absorption
    std::optional<PredictionSource> prediction;
    std::vector<VisitTarget> targets;
    std::optional<BassResponse> bass_response;
    Comparison comparison;
    std::vector<Note> notes;            ///< after those of the comparison itself
    std::vector<CompareReport> earlier; ///< of a chain: the visits between, each against the first
    std::vector<TrapAbsorption> by_trap;
};

} // namespace ebbmark
