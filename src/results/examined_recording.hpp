// SPDX-License-Identifier: GPL-3.0-or-later
// One response and the checks of its recording, as `deconvolve`, `take` and `import` share them.
#pragma once

#include "base/measured.hpp"
#include "base/quality_check.hpp"
#include "job/take.hpp"
#include "results/notes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct ResponseBand {
    double nominal_hz = 0;
    Measured decay_range_db;
    std::optional<double> distortion_percent;
    std::optional<double> noise_db = {}; ///< before the sweep; nothing where that is too short for the band
};

/// A file that makes levels absolute.
struct CalibrationSource {
    CalibrationKind kind = CalibrationKind::microphone_curve;
    std::string file;
    std::string sha256;
    std::string date; ///< as the file says, or empty
    std::optional<double> pascal_per_unit;
};

struct DeconvolveReport {
    std::string command = "deconvolve"; ///< or "take", "import"
    bool simulated = false;
    std::string response; ///< the file written
    double rate_hz = 0;
    std::optional<double> delay_s;   ///< from the recording's start to the sweep's; nothing without a sweep
    std::optional<double> drift_ppm; ///< positive: the recorder's clock runs fast
    bool accepted = true;
    std::vector<QualityCheck> checks;
    std::vector<ResponseBand> bands;
    bool levels_absolute = false; ///< noise in dB re 20 µPa; else a full-scale sine is 0 dB
    std::vector<CalibrationSource> calibration;
    std::vector<Note> notes;
};

} // namespace ebbmark
