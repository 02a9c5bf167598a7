// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "results/job_results.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <string>

namespace ebbmark {

/// When the digits of the day belong beside the next steps.
enum class DigitsShown { at_end_of_visit, always };

/// What is to be done next in a job, from its files and an analysis of every take that counts. `path` is the
/// job's as the user writes it. Notes digits that are shown.
NextReport next_report(AnalysedJob& job, const std::string& path, const Occasion& occasion,
                       DigitsShown digits, Progress& progress);

} // namespace ebbmark
