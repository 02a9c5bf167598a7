// SPDX-License-Identifier: GPL-3.0-or-later
// A recording or a response that was made elsewhere becomes takes of a job.
#pragma once

#include "results/job_results.hpp"
#include "work/analysed_job.hpp"
#include "work/calibration.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct BroughtIn {
    std::string visit;
    std::string file;
    std::vector<std::string> positions; ///< at least one, in the order in which they are in the file
    std::optional<std::string> sweep;   ///< file of what was played; nothing: the file is an impulse response
    std::optional<int> channel;         ///< the microphone's, from 1; nothing: the first that is no loopback
    int loopback_channel = 0;           ///< 0: none
    bool is_return = false;
    Calibration calibration = {};
};

/// Examines and keeps them, accepted or not; what was judged is kept for comparisons. Throws Error(usage)
/// where a response is to stand for several positions or to be freed of a loopback, Error(unusable) where the
/// file holds no recording of the sweep, or no response, and says what to type.
KeepReport bring_in(AnalysedJob& job, const BroughtIn& wanted, const Occasion& occasion);

} // namespace ebbmark
