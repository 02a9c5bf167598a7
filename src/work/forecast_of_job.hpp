// SPDX-License-Identifier: GPL-3.0-or-later
// From a job, or from traps alone, to what `predict` computes.
#pragma once

#include "forecast/material.hpp"
#include "results/forecast_result.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct ForecastOptions {
    double from_hz = 31.5, to_hz = 5000;
    bool as_built = false;
    bool design = false; ///< changes of the plan mode by mode, and other places
    int draws = 1000;
    std::uint64_t seed = 1;
    std::function<bool()> enough = {}; ///< ends the search for changes with what it has
};

/// The [[trap]]s of a file that is no job. Throws Error(unusable) with file, place and mend.
std::vector<JobTrap> traps_in(const std::string& path, const std::vector<Material>& materials);

/// The traps alone.
ForecastReport forecast_traps(const std::vector<JobTrap>& traps, const std::vector<Material>& materials,
                              const ForecastOptions& options);

/// The traps in the room as it was measured before the build; the traps alone where it was not yet. Throws
/// Error(unusable) where the job plans no trap or its room has no volume.
ForecastReport forecast_job(const AnalysedJob& job, const std::vector<Material>& materials,
                            const ForecastOptions& options, Progress& progress);

} // namespace ebbmark
