// SPDX-License-Identifier: GPL-3.0-or-later
// One recording to one response, with everything that can be said about its quality.
#pragma once

#include "base/quality_check.hpp"
#include "signal/deconvolution.hpp"
#include "signal/notes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct RecordingOptions {
    double first_s = 0; ///< where the recording begins in its file: all times count from the file's start
    std::optional<double> distance_m;  ///< from source to microphone, as stated
    double speed_of_sound_m_s = 343.2; ///< at 20 °C, ISO 9613-1
    Signal stored_loopback = {};       ///< the same sweep over the electrical loopback, recorded earlier
};

struct Recovered {
    Deconvolved found;
    std::vector<QualityCheck> checks;
    std::vector<RecordingNote> notes;
    std::vector<double> hum_hz; ///< lines that may still move a decay in the third octave around them
    /// Middles of third octaves whose T20 another sound moves by 1 % or more, as estimated.
    std::vector<double> disturbed_hz;

    /// Whether no check rejects it.
    bool accepted() const;
};

/// The response and its checks: sweep found, clipping, lost samples, disturbance, hum, variation (of
/// repeats), distortion, direct sound, delay (with loopback and distance), polarity, drift. The decay range
/// needs the decay engine and comes on top. A recording much longer than the test signal is first cut to the
/// part with the sweeps. Throws as deconvolve does, and where there are several takes.
Recovered recover(const Signal& recording, const Excitation& excitation, const Signal& loopback = {},
                  const RecordingOptions& options = {});

} // namespace ebbmark
