// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/job_analysis.hpp"
#include "proof/compare_report.hpp"

#include <string>

namespace ebbmark {

/// The visits that a comparison is about where none are named: the first one before the build, and the latest
/// other.
std::string first_before(const JobFolder& job);
std::string latest_other(const JobFolder& job, const std::string& before);

/// Two visits of a job, position by position; positions that only one of them has are named in the notes.
/// Throws Error(unusable) where a visit is missing or they have no position in common.
CompareReport compare_visits(const JobFolder& job, const std::string& from_visit, const std::string& to_visit,
                             const DecayOptions& options, Progress& progress);

} // namespace ebbmark
