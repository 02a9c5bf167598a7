// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a whole result, as kinds and numbers: what one folder alone cannot know. Their
// words stand in proof/words.
#pragma once

#include "base/measured.hpp"
#include "files/broadcast_info.hpp"
#include "job/names.hpp"
#include "job/notes.hpp"
#include "job/repair_notes.hpp"
#include "signal/notes.hpp"

#include <array>
#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

// --- on a take. What its recorder wrote into the file is remarked as its BroadcastInfo.

/// The microphone's curve does not reach these bands.
struct CurveFallsShort {
    std::vector<double> bands_hz;
    bool operator==(const CurveFallsShort&) const = default;
};

/// Levels of noise count from full scale.
struct NoCalibrator {
    bool operator==(const NoCalibrator&) const = default;
};

struct DriverReported {
    std::string message; ///< the first one, as the driver words it
    double at_s = 0;
    std::size_t more = 0;
    bool operator==(const DriverReported&) const = default;
};

/// An impulse response whose recording was not seen.
struct MadeElsewhere {
    bool operator==(const MadeElsewhere&) const = default;
};

// --- on a comparison

struct RestsOnListeningPlaces {
    int places = 0;
    std::size_t of = 0;
    bool operator==(const RestsOnListeningPlaces&) const = default;
};

struct NewMode {
    double hz = 0, t60_s = 0;
    bool operator==(const NewMode&) const = default;
};

/// Modes after that were not told apart before.
struct NewModes {
    std::vector<NewMode> modes;
    bool operator==(const NewModes&) const = default;
};

/// Energy in 20 to 200 Hz, mean over the positions, after 100, 200 and 300 ms.
struct EnergyLeft {
    std::array<Measured, 3> before_db, after_db;
    bool operator==(const EnergyLeft&) const = default;
};

struct ModesNotCompared {
    Said because;
    bool operator==(const ModesNotCompared&) const = default;
};

/// Two visits before the build that tell nothing of the drift between them.
struct DriftNotTold {
    std::string from, to;
    bool no_position = false; ///< in common; else their conditions differ too much
    bool operator==(const DriftNotTold&) const = default;
};

/// Left out, as the other visit does not have it.
struct MeasuredOnce {
    Position position;
    std::string visit;
    bool operator==(const MeasuredOnce&) const = default;
};

/// The protocols do not tell which traps a visit added to those of the one before it.
struct TrapsNotTold {
    std::string visit, before;
    bool operator==(const TrapsNotTold&) const = default;
};

/// Kept responses are not what their recordings give, and were not used.
struct KeptResponsesDiffer {
    std::vector<std::string> files; ///< in the job
    bool operator==(const KeptResponsesDiffer&) const = default;
};

/// Made from kept responses, where they are there.
struct MadeFromKept {
    bool operator==(const MadeFromKept&) const = default;
};

// --- on a job

/// A recording that no program came to keep waits to be brought in.
struct RecordingWaits {
    std::string file; ///< with the command, in the job's folder
    bool operator==(const RecordingWaits&) const = default;
};

/// What a command remarks on its result.
using Note = std::variant<RecordingNote, JobNote, RepairNote, Said, BroadcastInfo, CurveFallsShort,
                          NoCalibrator, DriverReported, MadeElsewhere, RestsOnListeningPlaces, NewModes,
                          EnergyLeft, ModesNotCompared, DriftNotTold, MeasuredOnce, TrapsNotTold,
                          KeptResponsesDiffer, MadeFromKept, RecordingWaits>;

} // namespace ebbmark
