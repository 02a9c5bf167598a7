// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a comparison, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "verdict/acceptance.hpp"

#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

// --- on a band

/// After, the decay is shorter than the band filter can show.
struct BoundedByFilter {
    double at_least_percent = 0; ///< shorter than before
    bool operator==(const BoundedByFilter&) const = default;
};

struct UpperBoundsEntered {
    int bounded = 0;
    std::size_t positions = 0;
    bool operator==(const UpperBoundsEntered&) const = default;
};

struct PositionsLeftOut {
    int positions = 0; ///< without a value in both states
    Empty why = Empty::noise;
    bool operator==(const PositionsLeftOut&) const = default;
};

/// One value in a state, and the states are not paired.
struct NoInterval {
    bool operator==(const NoInterval&) const = default;
};

/// Too much for a comparison.
struct ConditionsDiffer {
    bool operator==(const ConditionsDiffer&) const = default;
};

/// It came without an interval.
struct PredictionExact {
    bool operator==(const PredictionExact&) const = default;
};

/// Below the Schroeder frequency the added absorption belongs to this place.
struct AreaAsIfDiffuse {
    bool operator==(const AreaAsIfDiffuse&) const = default;
};

// --- on the question. That something was agreed is remarked as its AcceptanceRule.

struct ModeWithoutDecay {
    double hz = 0;
    bool operator==(const ModeWithoutDecay&) const = default;
};

/// The prediction is for these places, not for those of the headline.
struct PredictedElsewhere {
    std::string places;
    bool operator==(const PredictedElsewhere&) const = default;
};

/// The prediction names no places, and the headline rests on some of those measured.
struct PredictionNamesNoPlaces {
    bool operator==(const PredictionNamesNoPlaces&) const = default;
};

/// Left out of the question.
struct BandWithoutChange {
    Band band;
    bool bounded = false; ///< after, it is shorter than the band filter can show
    bool operator==(const BandWithoutChange&) const = default;
};

// --- on a mode

/// They cannot be told apart.
struct ModesTogether {
    int modes = 0;
    bool operator==(const ModesTogether&) const = default;
};

/// Not found after.
struct LostAfter {
    bool operator==(const LostAfter&) const = default;
};

/// When single positions are left out.
struct ComesAndGoes {
    bool operator==(const ComesAndGoes&) const = default;
};

/// Measured at one place.
struct HeldAtOnePlace {
    bool operator==(const HeldAtOnePlace&) const = default;
};

// --- on the whole

struct ModesLostAfter {
    int modes = 0;
    std::size_t of = 0;
    bool operator==(const ModesLostAfter&) const = default;
};

struct ModesComeAndGo {
    int modes = 0;
    std::size_t of = 0;
    bool operator==(const ModesComeAndGo&) const = default;
};

struct RepeatsJoined {
    std::size_t responses_before = 0, places_before = 0, responses_after = 0, places_after = 0;
    bool operator==(const RepeatsJoined&) const = default;
};

/// Below 200 Hz these places have the same response in both states; there they count as one.
struct AlikeInBass {
    std::vector<std::string> places;
    bool operator==(const AlikeInBass&) const = default;
};

struct StatesNotPaired {
    bool operator==(const StatesNotPaired&) const = default;
};

struct OnePlaceOnly {
    bool return_measured = false; ///< else how well a microphone is put back comes from another room
    bool air_recorded = false;
    bool operator==(const OnePlaceOnly&) const = default;
};

struct HeadlineWithReturn {
    bool operator==(const HeadlineWithReturn&) const = default;
};

/// No return was measured.
struct ScatterStandsIn {
    bool operator==(const ScatterStandsIn&) const = default;
};

/// It has none of the bands compared.
struct PredictionElsewhere {
    bool operator==(const PredictionElsewhere&) const = default;
};

using VerdictNote =
    std::variant<AcceptanceRule, BoundedByFilter, UpperBoundsEntered, PositionsLeftOut, NoInterval,
                 ConditionsDiffer, PredictionExact, AreaAsIfDiffuse, ModeWithoutDecay, PredictedElsewhere,
                 PredictionNamesNoPlaces, BandWithoutChange, ModesTogether, LostAfter, ComesAndGoes,
                 HeldAtOnePlace, ModesLostAfter, ModesComeAndGo, RepeatsJoined, AlikeInBass, StatesNotPaired,
                 OnePlaceOnly, HeadlineWithReturn, ScatterStandsIn, PredictionElsewhere>;

} // namespace ebbmark
