// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "results/job_results.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <string>

namespace ebbmark {

/// What is to be done next in a job, from its files and an analysis of every take that counts. `path` is the
/// job's as the user writes it, `today` YYYY-MM-DD.
NextReport next_report(const AnalysedJob& job, const std::string& path, const std::string& today,
                       Progress& progress);

} // namespace ebbmark
