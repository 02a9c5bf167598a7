// SPDX-License-Identifier: GPL-3.0-or-later
// What makes levels absolute: the microphone's curve and a recording of a sound calibrator. And a loopback
// that was recorded earlier, for what the sound device itself adds.
#pragma once

#include "cli/command.hpp"
#include "files/calibration.hpp"
#include "job/job_folder.hpp"
#include "proof/deconvolve_report.hpp"
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

/// --curve, --calibrator, --calibrator-level, --stored-loopback.
void declare_calibration(Options& options);

/// Throws Error(unusable) where the calibrator's tone is not steady, not at 1 kHz, or clipped.
Calibration read_calibration(const Arguments& arguments);

/// The files, as a job keeps them.
std::vector<NewCalibration> kept_with_takes(const Calibration& calibration);

/// Sets the reference of the report's noise levels, and says where the curve does not reach.
void apply(const Calibration& calibration, DeconvolveReport& report);

} // namespace ebbmark
