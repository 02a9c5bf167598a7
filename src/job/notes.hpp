// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a job, a visit, and the plan as it was fixed, as kinds and numbers. Their words
// stand in proof/words.
#pragma once

#include "job/advice.hpp"
#include "job/plan_difference.hpp"

#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

/// Words of another: of a file, the system, or what could not go on.
struct Said {
    std::string text;
    bool operator==(const Said&) const = default;
};

// --- on the plan

/// job.toml plans otherwise now than what was promised or fixed.
struct PlanDiffers {
    std::vector<PlanDifference> parts; ///< at least one
    std::string since;                 ///< "2026-11-25": when it was promised or fixed
    std::string promise;               ///< its file; empty: no promise, the first take fixed it
    bool fixed = false;                ///< by a take after the build: what was fixed counts
    std::string job;                   ///< its folder, as the user writes it
    bool operator==(const PlanDiffers&) const = default;
};

/// Something of job.toml looks mistaken.
struct PlanDoubt {
    std::string text; ///< the reader's own words, with file, line, column and key
    bool operator==(const PlanDoubt&) const = default;
};

/// One loudspeaker and one microphone place are all that a forecast can rest on.
struct OnePlaceAlone {
    std::string position; ///< "S1-M1"
    std::size_t wanted = 0;
    bool operator==(const OnePlaceAlone&) const = default;
};

// --- on what to do next

/// With more positions the comparison can show smaller changes.
struct FewPositions {
    std::size_t positions = 0, wanted = 0;
    bool operator==(const FewPositions&) const = default;
};

/// What really stands there is to be entered after the build.
struct BuiltToEnter {
    std::vector<std::string> traps;
    bool operator==(const BuiltToEnter&) const = default;
};

/// A visit before the build, on another day: what drifts without traps is not known.
struct NotTheDayOfBuild {
    std::string visit, date;
    bool operator==(const NotTheDayOfBuild&) const = default;
};

struct StillBlank {
    PlanItem item = PlanItem::title;
    bool operator==(const StillBlank&) const = default;
};

// --- on a visit

struct OnlyListeningPlaces {
    bool operator==(const OnlyListeningPlaces&) const = default;
};

struct OnePositionAlone {
    bool operator==(const OnePositionAlone&) const = default;
};

/// The protocol does not say the air's temperature or humidity.
struct AirAssumed {
    bool operator==(const AirAssumed&) const = default;
};

struct NoReturnMeasured {
    bool operator==(const NoReturnMeasured&) const = default;
};

using JobNote =
    std::variant<PlanDiffers, PlanDoubt, OnePlaceAlone, FewPositions, BuiltToEnter, NotTheDayOfBuild,
                 StillBlank, OnlyListeningPlaces, OnePositionAlone, AirAssumed, NoReturnMeasured>;

/// Why a visit is not judged by its target.
enum class NotJudged { unknown_target, unknown_volume };

} // namespace ebbmark
