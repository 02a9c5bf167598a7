// SPDX-License-Identifier: GPL-3.0-or-later
// Jobs that strain the documents: each small, made of invented responses, with one thing that is odd.
#pragma once

#include "workbench.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// "one-position", "no-prediction", …
const std::vector<std::string>& hostile_jobs();

/// Makes the job of that name in the bench's folder of the same name, both visits measured. REQUIREs that
/// every command that it needs succeeds.
void make_hostile_job(const Workbench& bench, const std::string& name);

/// Ten modes from 41 Hz up over falling noise, 24 kHz; `factor` on the decay times; another place, other
/// strengths.
std::vector<float> invented_response(double factor, std::uint64_t place);

} // namespace ebbmark
