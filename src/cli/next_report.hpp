// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/console.hpp"
#include "cli/job_analysis.hpp"
#include "proof/job_reports.hpp"

#include <string>

namespace ebbmark {

/// What is to be done next in a job, from its files and an analysis of every take that counts. `path` is the
/// job's as the user writes it.
NextReport next_report(const AnalysedJob& job, const std::string& path, const Console& console,
                       Progress& progress);

} // namespace ebbmark
