// SPDX-License-Identifier: GPL-3.0-or-later
// Why a statement on a room is not whole, and why a set-up has no higher grade, as kinds and numbers. Their
// words stand in proof/words.
#pragma once

#include "base/bands.hpp"

#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

struct VolumeUnknown {
    bool operator==(const VolumeUnknown&) const = default;
};

struct SurfaceUnknown {
    bool operator==(const SurfaceUnknown&) const = default;
};

/// No decay time between 400 Hz and 1.25 kHz, and with it no Schroeder frequency.
struct NoMidDecay {
    bool operator==(const NoMidDecay&) const = default;
};

/// In some bands the decay is longer than the air alone allows.
struct LongerThanAir {
    bool operator==(const LongerThanAir&) const = default;
};

using RoomNote = std::variant<VolumeUnknown, SurfaceUnknown, NoMidDecay, LongerThanAir>;

// --- on the set-up

/// By ISO 3382-2:2008, table 1.
enum class Grade { none, survey, engineering, precision };

/// It does not count: loudspeaker and microphone stand closer than the least distance.
struct PairTooClose {
    std::string source, microphone;
    double distance_m = 0, wanted_m = 0;
    bool operator==(const PairTooClose&) const = default;
};

enum class Counted { pairs, sources, microphones };

struct GradeWantsMore {
    Grade grade = Grade::survey;
    int wanted = 0;
    Counted what = Counted::pairs;
    int counted = 0;
    bool operator==(const GradeWantsMore&) const = default;
};

/// A microphone touches a surface or stands where another one does.
struct PlacesTouch {
    bool operator==(const PlacesTouch&) const = default;
};

/// Microphones stand too close together or to a surface.
struct NoGradeBelow {
    double hz = 0;
    bool operator==(const NoGradeBelow&) const = default;
};

/// Not all of them, so they could not all be checked.
struct DistancesUnknown {
    bool operator==(const DistancesUnknown&) const = default;
};

struct GradeWantsBands {
    Grade grade = Grade::survey;
    std::vector<Band> without_decay;
    bool operator==(const GradeWantsBands&) const = default;
};

using SetupNote =
    std::variant<PairTooClose, GradeWantsMore, PlacesTouch, NoGradeBelow, DistancesUnknown, GradeWantsBands>;

} // namespace ebbmark
