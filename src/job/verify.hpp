// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the evidence of a job is what was kept: every hash computed again. Reads only, takes no lock, and
// works on a copy on any disk.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct Verification {
    bool intact = true; ///< nothing changed or missing, and the digest fits where one was given
    bool simulated = false;
    std::string digest;  ///< of the job as it is now; empty where the job cannot be read
    std::string promise; ///< the promise whose digest was given, "promises/001.toml"
    std::size_t files = 0;
    std::vector<std::string> changed; ///< paths in the job folder, sorted
    std::vector<std::string> missing;
    std::vector<std::string> added; ///< files that nobody listed; named, no fault
    std::vector<std::string> notes; ///< sentences for people
};

/// `expected_digest` may be empty, that of the job, or that of a promise, whole or as it stands on paper.
/// Throws Error(unusable) where the folder is no job.
Verification verify(const std::filesystem::path& job, std::string_view expected_digest = {});

} // namespace ebbmark
