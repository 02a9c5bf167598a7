// SPDX-License-Identifier: GPL-3.0-or-later
// What `devices` and `level` say, as text, JSON and CSV. Pure.
#pragma once

#include "results/device_results.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const DevicesReport& report);
std::string to_csv(const DevicesReport& report);
std::string to_text(const DevicesReport& report);

std::string to_json(const LevelReport& report);
/// One row per band.
std::string to_csv(const LevelReport& report);
std::string to_text(const LevelReport& report);

} // namespace ebbmark
