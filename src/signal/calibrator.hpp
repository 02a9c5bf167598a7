// SPDX-License-Identifier: GPL-3.0-or-later
// Sensitivity of the recording chain from the tone of a sound calibrator. Pure.
#pragma once

#include "base/quality_check.hpp"
#include "base/signal.hpp"

#include <vector>

namespace ebbmark {

struct CalibratorReading {
    double hz = 0;
    double level_dbfs = 0;            ///< of the tone's effective value, full-scale sine −3 dB
    double stability_db = 0;          ///< highest less lowest level over 125 ms
    double pascal_per_unit = 0;       ///< sound pressure at a sample value of 1
    std::vector<QualityCheck> checks; ///< "frequency", "level", "stability", "purity"

    bool accepted() const;
};

/// `tone` is at least 2 s of a calibrator of `level_db` (94 or 114 dB re 20 µPa, ISO 1683) at `nominal_hz`;
/// half a second at either end does not count. Throws Error(unusable) where it is shorter or silent.
CalibratorReading read_calibrator(const Signal& tone, double level_db, double nominal_hz = 1000);

} // namespace ebbmark
