// SPDX-License-Identifier: GPL-3.0-or-later
// From a job to what its proof shows.
#pragma once

#include "results/proof_input.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

/// The comparison of these visits and everything else that the record prints, from responses made anew.
/// `verification` is of the same job, in the same run. Throws as compare_visits does.
ProofInput proof_input(const AnalysedJob& job, const Verification& verification,
                       const std::string& from_visit, const std::vector<std::string>& later, Units units,
                       Progress& progress);

/// The responses of both visits and of their returns, as files: name and bytes.
std::vector<std::pair<std::string, std::string>> response_files(const AnalysedJob& job,
                                                                const CompareReport& compared);

} // namespace ebbmark
