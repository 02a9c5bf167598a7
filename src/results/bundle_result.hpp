// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "job/evidence_faults.hpp"
#include "results/notes.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Names in a bundle, beside the folder "job".
inline constexpr const char* bundle_readme_name = "README.txt";
inline constexpr const char* bundle_findings_name = "findings.json";
inline constexpr const char* bundle_check_name = "check.py";
inline constexpr const char* bundle_list_name = "bundle.sha256"; ///< of all other files

struct BundleReport {
    bool simulated = false;
    std::string archive; ///< its path
    std::string digest;  ///< of the job
    std::string version; ///< of the program
    std::vector<std::string> files;
    std::uintmax_t bytes = 0;
    std::optional<EvidenceFaults> evidence_faults = {}; ///< where it is not intact
    std::vector<Note> notes = {};                       ///< on responses that are not as they should be
};

} // namespace ebbmark
