// SPDX-License-Identifier: GPL-3.0-or-later
// What a job lacks and what to do next, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include "base/bands.hpp"
#include "base/quality_check.hpp"
#include "job/evidence_faults.hpp"
#include "job/names.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

// --- what is lacking

/// What job.toml must say before anything can be measured.
enum class PlanItem { title, room_size, source, microphone };

struct NotMeasured {
    std::vector<Position> positions;
    bool operator==(const NotMeasured&) const = default;
};

/// A take of a position has too little decay range in a band of the question.
struct RangeTooShort {
    Position position;
    double range_db = 0;
    Band band;
    double needed_db = 0;
    std::optional<int> sweeps; ///< so many would do; nothing where it is more than is sensible
    bool operator==(const RangeTooShort&) const = default;
};

struct FailedCheck {
    CheckName name{};
    std::string advice; ///< may be empty
    bool operator==(const FailedCheck&) const = default;
};

struct TakeRejected {
    Position position;
    std::vector<FailedCheck> checks;
    bool operator==(const TakeRejected&) const = default;
};

struct ReturnMissing {
    Position position; ///< the visit's first one
    bool operator==(const ReturnMissing&) const = default;
};

struct ProtocolBlank {
    std::string visit;
    std::vector<std::string> keys;
    bool operator==(const ProtocolBlank&) const = default;
};

struct VisitBeforeMissing {
    std::vector<Position> positions; ///< that are planned; empty where measuring went on without it
    bool operator==(const VisitBeforeMissing&) const = default;
};

struct VisitAfterMissing {
    bool operator==(const VisitAfterMissing&) const = default;
};

/// Evidence is not as it was kept.
struct EvidenceChanged {
    EvidenceFaults faults; ///< what verify finds
    std::string job;       ///< its folder, as the user writes it; the same below
    bool operator==(const EvidenceChanged&) const = default;
};

using Lack = std::variant<PlanItem, NotMeasured, RangeTooShort, TakeRejected, ReturnMissing, ProtocolBlank,
                          VisitBeforeMissing, VisitAfterMissing, EvidenceChanged>;

// --- what to do

struct FillInPlan {
    std::string job;
    bool operator==(const FillInPlan&) const = default;
};

struct MeasureBefore {
    std::string job;
    Position first;
    bool operator==(const MeasureBefore&) const = default;
};

/// One may not leave yet.
struct NotYet {
    Lack lack;
    bool operator==(const NotYet&) const = default;
};

/// To a second disk, and check the copy.
struct CopyJob {
    std::string job, digest;
    bool operator==(const CopyJob&) const = default;
};

struct KeepPrediction {
    std::string job;
    bool operator==(const KeepPrediction&) const = default;
};

struct MakePromise {
    std::string job;
    bool operator==(const MakePromise&) const = default;
};

struct BuildAndMeasure {
    std::string job;
    Position first;
    bool operator==(const BuildAndMeasure&) const = default;
};

/// These traps were built otherwise than planned: what they should do can be worked out.
struct ForecastAsBuilt {
    std::string job;
    std::vector<std::string> traps;
    bool operator==(const ForecastAsBuilt&) const = default;
};

struct CompareVisits {
    std::string job, visit; ///< with the first one
    bool operator==(const CompareVisits&) const = default;
};

struct MakeProof {
    std::string job;
    bool operator==(const MakeProof&) const = default;
};

using Step = std::variant<FillInPlan, MeasureBefore, NotYet, CopyJob, KeepPrediction, MakePromise,
                          BuildAndMeasure, CompareVisits, ForecastAsBuilt, MakeProof>;

} // namespace ebbmark
