// SPDX-License-Identifier: GPL-3.0-or-later
// The prediction that a job holds, against which the measurement is compared.
#pragma once

#include "results/forecast_result.hpp"
#include "results/job_results.hpp"
#include "work/analysed_job.hpp"

#include <functional>
#include <string>

namespace ebbmark {

/// How a forecast stands in a table.
using PredictionWriter = std::function<std::string(const ForecastReport&)>;

/// Keeps a computed forecast, and names its file in the report. Throws Error(unusable) where no decay was
/// measured before the build, so that there is nothing but absorption.
void keep_forecast(JobFolder& job, ForecastReport& report, const PredictionWriter& table,
                   const Occasion& occasion);

/// Keeps a table that was made elsewhere. Throws Error(unusable).
void store_prediction_file(JobFolder& job, const std::string& path, const Occasion& occasion);

/// The latest one, and whether it counts. Throws Error(unusable) where there is none.
PredictionReport kept_prediction(const JobFolder& job);

} // namespace ebbmark
