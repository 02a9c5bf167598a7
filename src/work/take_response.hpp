// SPDX-License-Identifier: GPL-3.0-or-later
// What one take gives: its response, and what its recording says of hum, delay, levels and other sounds.
#pragma once

#include "base/signal.hpp"
#include "files/audio_file.hpp"
#include "job/job_folder.hpp"
#include "signal/recording.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Levels of a recorded sweep in dB below a full-scale sine: of the whole, and of its quietest 0.2 s.
struct HeardLevels {
    double level_db = 0;
    double noise_db = 0;
};

/// `recording` not empty.
HeardLevels heard_levels(const Signal& recording);

/// The response that a take gives, and what its excitation reached.
struct TakeResponse {
    Signal response;
    double source_from_hz = 0;
    double source_to_hz = 1e9;
    std::vector<double> hum_hz = {};       ///< lines that may be left in it
    std::optional<double> delay_s = {};    ///< from the recording's start to the sweep's arrival
    std::vector<double> disturbed_hz = {}; ///< middles of third octaves that another sound spoils
    std::optional<HeardLevels> heard = {}; ///< of its recording; nothing where that was not seen
};

/// What was recovered from a recording of this excitation.
TakeResponse take_response(Recovered recovered, const Excitation& excitation, const Signal& recording);

/// From the evidence; opens the recording once.
TakeResponse response_from_recording(const JobFolder& job, const Take& take);

/// One channel of a file, with what its comment says of it.
TakeResponse response_in(const AudioFile& file, int channel);

/// The file of a response that was made from a recording.
std::string response_bytes(const TakeResponse& made, const Take& take);

/// Its name in the results folder: "response-before-S1-M1-1.wav".
std::string response_file_name(const Take& take);

/// As read back from such a file, so that a kept response and a new one give the same figures.
TakeResponse as_kept(TakeResponse made);

/// Whether they are the same but for rounding.
bool is_same_response(const TakeResponse& a, const TakeResponse& b);

} // namespace ebbmark
