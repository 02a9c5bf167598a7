// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/command.hpp"
#include "work/calibration.hpp"

namespace ebbmark {

/// --curve, --calibrator, --calibrator-level, --stored-loopback.
void declare_calibration(Options& options);

/// Throws Error(unusable) where the calibrator's tone is not steady, not at 1 kHz, or clipped.
Calibration read_calibration(const Arguments& arguments);

} // namespace ebbmark
