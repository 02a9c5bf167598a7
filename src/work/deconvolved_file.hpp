// SPDX-License-Identifier: GPL-3.0-or-later
// From a recording in a file to its impulse response, without a job.
#pragma once

#include "results/examined_recording.hpp"
#include "work/calibration.hpp"

#include <optional>
#include <string>

namespace ebbmark {

struct RecordedFile {
    std::string path;
    std::string sweep;                   ///< file of what was played
    std::optional<int> channel;          ///< the microphone's, from 1; nothing: the first that is no loopback
    std::optional<int> loopback_channel; ///< nothing: none
    std::optional<double> distance_m = {}; ///< from loudspeaker to microphone; checked with a loopback
    Calibration calibration = {};
};

struct DeconvolvedFile {
    DeconvolveReport report;
    std::string bytes; ///< of the response's WAV file
};

/// `response` is the name of the file that is to be written. Throws Error(usage) where both channels are the
/// same one, Error(unusable) where the sweep is not in the recording.
DeconvolvedFile deconvolve_file(const RecordedFile& recorded, const std::string& response);

} // namespace ebbmark
