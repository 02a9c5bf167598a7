// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on one recording, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <cstddef>
#include <variant>

namespace ebbmark {

struct SweepsMissing {
    int found = 0, played = 0;
    bool operator==(const SweepsMissing&) const = default;
};

/// Disturbed, or unlike the others.
struct SweepsLeftOut {
    int used = 0, found = 0;
    bool operator==(const SweepsLeftOut&) const = default;
};

struct HumTakenOut {
    double mains_hz = 0;
    std::size_t lines = 0;
    bool operator==(const HumTakenOut&) const = default;
};

/// The difference of the clocks is known from a single sweep only.
struct ClockFromOneSweep {
    bool operator==(const ClockFromOneSweep&) const = default;
};

struct AirChanged {
    double percent = 0; ///< of the speed of sound, between the sweeps; taken out
    double kelvin = 0;
    bool operator==(const AirChanged&) const = default;
};

/// The room still rings from the loudspeaker's harmonics when the response begins.
struct ShortSweep {
    double error_db = 0;     ///< of the response in a usual room, below its direct sound
    double clear_from_s = 0; ///< a sweep that long avoids it
    bool operator==(const ShortSweep&) const = default;
};

using RecordingNote =
    std::variant<SweepsMissing, SweepsLeftOut, HumTakenOut, ClockFromOneSweep, AirChanged, ShortSweep>;

} // namespace ebbmark
