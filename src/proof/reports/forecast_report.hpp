// SPDX-License-Identifier: GPL-3.0-or-later
// What `predict` computes, as text, JSON and CSV. Pure.
#pragma once

#include "results/forecast_result.hpp"

#include <string>

namespace ebbmark {

/// Why the traps reach a mode or do not.
std::string reach_text(const ForecastMode& mode);

std::string to_json(const ForecastReport& report);
/// One row per band; of a trap alone one row per trap and band.
std::string to_csv(const ForecastReport& report);
std::string to_text(const ForecastReport& report);

/// What is predicted for the job, as a table that `predict --store` takes.
std::string prediction_table(const ForecastReport& report);

} // namespace ebbmark
