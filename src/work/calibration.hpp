// SPDX-License-Identifier: GPL-3.0-or-later
// What makes levels absolute: the microphone's curve and a recording of a sound calibrator. And a loopback
// that was recorded earlier, for what the sound device itself adds.
#pragma once

#include "files/calibration.hpp"
#include "job/job_folder.hpp"
#include "results/examined_recording.hpp"
#include "signal/calibrator.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct Calibration {
    std::optional<MicrophoneCurve> curve;
    std::optional<CalibratorReading> calibrator;
    double calibrator_level_db = 0;
    Signal loopback;                        ///< empty: none
    std::vector<CalibrationSource> sources; ///< the files, dated and hashed

    /// What is added to a level below full scale: to dB re 20 µPa with a calibrator, and less the curve.
    double offset_db(double hz) const;
};

/// The files that a person names; nothing: none.
struct CalibrationFiles {
    std::optional<std::string> curve, calibrator, loopback;
    double calibrator_level_db = 94; ///< what the calibrator gives, re 20 µPa
};

/// Throws Error(unusable) where the calibrator's tone is not steady, not at 1 kHz, or clipped.
Calibration read_calibration(const CalibrationFiles& files);

/// The files, as a job keeps them.
std::vector<NewCalibration> kept_with_takes(const Calibration& calibration);

/// Sets the reference of the report's noise levels, and says where the curve does not reach.
void apply(const Calibration& calibration, DeconvolveReport& report);

} // namespace ebbmark
