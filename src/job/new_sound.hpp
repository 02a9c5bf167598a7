// SPDX-License-Identifier: GPL-3.0-or-later
// What is brought into a job: a sound with its takes, and on which occasion.
#pragma once

#include "job/take.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// When and by which program something is kept; handed in, so that the same calls give the same bytes.
struct Occasion {
    std::string time;    ///< ISO 8601 with zone, such as "2026-11-25T14:03:00+01:00"
    std::string program; ///< name and version
};

/// One take in a sound that is brought in.
struct NewTake {
    std::string position; ///< "S1-M1"
    bool is_return = false;
    int channel = 1;
    std::optional<Segment> segment; ///< where the sound holds several sweeps, each for one position
    bool accepted = true;
    std::vector<QualityCheck> checks;
};

/// A calibration that is brought in with a sound.
struct NewCalibration {
    TakeCalibration calibration; ///< its place in the job is not known yet
    std::string ending;          ///< of the file's name, such as ".txt"
    std::string bytes;
};

/// A sound file that is brought in, with all takes in it.
struct NewSound {
    SoundKind kind = SoundKind::recording;
    std::string bytes;         ///< of the file, whole
    std::string original_name; ///< with its ending, such as "rec 7.wav"
    std::string recorded;      ///< what the recorder wrote into the file, or empty
    std::string device = std::string(came_as_file);
    bool simulated = false;
    int loopback_channel = 0; ///< 0: none
    std::optional<Sweep> sweep;
    std::string excitation_bytes; ///< audio file of the excitation, where there is no description of it
    std::vector<NewCalibration> calibrations;
    std::vector<NewTake> takes;
};

} // namespace ebbmark
