// SPDX-License-Identifier: GPL-3.0-or-later
// One response, cut into moments: from a file, or as a job has it.
#pragma once

#include "results/waterfall_result.hpp"
#include "work/analysed_job.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// Adds the response in a file: `channel`, or the only one. Throws Error(usage) where it has several,
/// Error(unusable).
void add_waterfall_of_file(WaterfallReport& report, const std::string& path, std::optional<int> channel,
                           const WaterfallOptions& options);

/// Adds the first usable take at a position of a visit. Throws Error(unusable) where there is none.
void add_waterfall_of_take(WaterfallReport& report, const AnalysedJob& job, const std::string& visit,
                           const std::string& position, const WaterfallOptions& options);

} // namespace ebbmark
