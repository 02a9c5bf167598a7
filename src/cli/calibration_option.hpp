// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/command.hpp"
#include "work/calibration.hpp"

namespace ebbmark {

/// --curve, --calibrator, --calibrator-level, --stored-loopback.
void declare_calibration(Options& options);

/// The files that these name, read. Throws Error(usage) where they do not go together.
Calibration read_calibration(const Arguments& arguments);

} // namespace ebbmark
