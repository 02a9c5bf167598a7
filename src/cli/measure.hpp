// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "capture/device.hpp"
#include "job/job_folder.hpp"
#include "proof/job_reports.hpp"
#include "signal/sweep.hpp"

namespace ebbmark {

/// Plays the sweep on the device, examines what was recorded and keeps it as a take of the job, accepted or
/// not.
KeptTake measure_take(JobFolder& job, SoundDevice& device, const Sweep& sweep, const Situation& situation,
                      const Position& position, const Occasion& occasion);

} // namespace ebbmark
