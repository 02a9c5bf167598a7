// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "capture/device.hpp"
#include "results/job_results.hpp"
#include "signal/sweep.hpp"
#include "work/analysed_job.hpp"
#include "work/calibration.hpp"

#include <string>

namespace ebbmark {

struct MeasuredTake {
    KeptTake kept;
    Ending ending = Ending::complete; ///< of the recording; what came is kept whichever way it ended
    std::string fault;
};

/// Plays the sweep on the device, puts what was recorded on the disk (SafeRecording), examines it and keeps
/// it as a take of the job, accepted or not. Where the job refuses it, the Error says where the recording
/// lies and how it is brought in.
MeasuredTake measure_take(AnalysedJob& job, SoundDevice& device, const Sweep& sweep,
                          const Situation& situation, const Position& position,
                          const Calibration& calibration, const Occasion& occasion, const Watch& watch);

} // namespace ebbmark
