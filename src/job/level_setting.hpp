// SPDX-License-Identifier: GPL-3.0-or-later
// The levels that were found safe and sufficient on the measuring day. Each holds for what it was found with:
// another output, loudspeaker or rate can be louder by any amount.
#pragma once

#include "job/job_folder.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// What decides how loud a sweep is, apart from the sweep itself.
struct LevelPlace {
    std::string output;     ///< the output device's name
    int output_channel = 1; ///< from 1
    std::string source;     ///< the loudspeaker's place in job.toml, such as "S1"
    double rate_hz = 0;
    friend bool operator==(const LevelPlace&, const LevelPlace&) = default;
};

struct LevelSetting {
    Sweep sweep;
    LevelPlace place;
    std::string device; ///< output and input, for people
    bool simulated = false;
    std::string found_at; ///< ISO 8601 with zone
    friend bool operator==(const LevelSetting&, const LevelSetting&) = default;
};

struct KeptLevels {
    std::vector<LevelSetting> settings;
    bool without_place = false; ///< there is one of an earlier version, which did not say what it holds for

    /// The one that was found there, or null.
    const LevelSetting* at(const LevelPlace& place) const;
};

std::string to_toml(const std::vector<LevelSetting>& settings);

/// None where no level was found yet. Throws Error(unusable) with file, line, column, key and mend.
KeptLevels read_levels(const JobFolder& job);

/// Replaces an earlier one of the same place, and those that do not say theirs. Throws Error(unusable).
void keep_level(const JobFolder& job, const LevelSetting& setting);

} // namespace ebbmark
