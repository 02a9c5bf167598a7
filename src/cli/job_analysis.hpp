// SPDX-License-Identifier: GPL-3.0-or-later
// From the takes of a job to responses and decay times.
#pragma once

#include "cli/command.hpp"
#include "decay/decay.hpp"
#include "job/job_folder.hpp"
#include "job/visit_result.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// The response that a take gives, and what its excitation reached.
struct TakeResponse {
    Signal response;
    double source_from_hz = 0;
    double source_to_hz = 1e9;
    std::vector<double> hum_hz = {};    ///< lines that may be left in it
    std::optional<double> delay_s = {}; ///< from the recording's start to the sweep's arrival
};

/// From the results folder where it is still current, else made from the evidence and, where the job may be
/// written, kept there.
TakeResponse response_of(const JobFolder& job, const Take& take);

/// One position of a visit: all takes in use, averaged.
using PositionDecay = MeasuredPosition;

/// All positions of a visit, or its return. `options` hold the bands; what the sources reached comes from the
/// takes. Throws Error(unusable) where the visit does not exist or nothing in it can be used.
std::vector<PositionDecay> analyse_visit(const JobFolder& job, const std::string& visit,
                                         const DecayOptions& options, bool returns, Progress& progress);

/// Whether a word on the command line names a job: a folder with a job.toml in it.
bool is_job(const std::string& word);

} // namespace ebbmark
