// SPDX-License-Identifier: GPL-3.0-or-later
// What a search of the level needs from a job, and what it found as a result.
#pragma once

#include "capture/device.hpp"
#include "capture/level_search.hpp"
#include "job/job_folder.hpp"
#include "results/device_results.hpp"
#include "work/person.hpp"

#include <functional>
#include <optional>
#include <string>

namespace ebbmark {

/// Where the loudspeaker stands and the microphone listens: the first position of this source, or of all.
/// Throws Error(unusable) where job.toml has no such source.
Position position_for_level(const JobDescription& job, const std::optional<std::string>& source);

/// From the lowest frequency that this loudspeaker bears, for the bands or modes that the job asks about.
LevelOptions level_options(const JobDescription& job, const std::string& source, double limit_dbfs);

LevelReport level_report(const FoundLevel& found, const LevelOptions& options, const JobDescription& job,
                         const SoundDevice& device, const std::string& source);

/// What is looked for, and where.
struct LevelSearch {
    Position first;        ///< where the loudspeaker stands and the microphone listens
    double limit_dbfs = 0; ///< the highest peak that is allowed
};

/// Asks the person, searches, and keeps in the job what was found; nothing where the person said no. `now` is
/// asked for the time at the end. Throws Error(device) where the device fails, Error(interrupted).
std::optional<LevelReport> search_level(JobFolder& job, SoundDevice& device, const LevelSearch& search,
                                        Person& person, const std::function<std::string()>& now);

} // namespace ebbmark
