// SPDX-License-Identifier: GPL-3.0-or-later
// The level that was found safe and sufficient on the measuring day; every later take of the job keeps to it.
#pragma once

#include "job/job_folder.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <string>

namespace ebbmark {

struct LevelSetting {
    Sweep sweep;
    std::string device;
    bool simulated = false;
    std::string found_at; ///< ISO 8601 with zone
    friend bool operator==(const LevelSetting&, const LevelSetting&) = default;
};

std::string to_toml(const LevelSetting& setting);

/// Nothing where no level was found yet. Throws Error(unusable) with file, line, column, key and mend.
std::optional<LevelSetting> read_level(const JobFolder& job);

/// Replaces an earlier one. Throws Error(unusable).
void keep_level(const JobFolder& job, const LevelSetting& setting);

} // namespace ebbmark
