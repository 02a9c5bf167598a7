// SPDX-License-Identifier: GPL-3.0-or-later
// What the commands on a job folder say, as text, JSON and CSV. Pure.
#pragma once

#include "job/verify.hpp"
#include "results/job_results.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const NextReport& report);
std::string to_csv(const NextReport& report);
std::string to_text(const NextReport& report);

std::string to_json(const ExcludeReport& report);
std::string to_csv(const ExcludeReport& report);
std::string to_text(const ExcludeReport& report);

std::string to_json(const PredictionReport& report);
std::string to_csv(const PredictionReport& report);
std::string to_text(const PredictionReport& report);

std::string to_json(const KeepReport& report);
std::string to_csv(const KeepReport& report);
std::string to_text(const KeepReport& report);

std::string to_json(const Verification& report);
std::string to_csv(const Verification& report);
std::string to_text(const Verification& report);

} // namespace ebbmark
