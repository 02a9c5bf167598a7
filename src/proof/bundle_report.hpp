// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `bundle`, and what its README says. Pure.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace ebbmark {

struct BundleReport {
    bool simulated = false;
    std::string archive; ///< its path
    std::string digest;  ///< of the job
    std::string version; ///< of the program
    std::vector<std::string> files;
    std::uintmax_t bytes = 0;
    std::vector<std::string> notes; ///< on evidence or responses that are not as they should be
};

/// Names in a bundle, beside the folder "job".
inline constexpr const char* bundle_readme_name = "README.txt";
inline constexpr const char* bundle_findings_name = "findings.json";

/// For the client's engineer; says nothing that depends on where the archive lies.
std::string bundle_readme(const BundleReport& report);

std::string to_json(const BundleReport& report);
std::string to_csv(const BundleReport& report);
std::string to_text(const BundleReport& report);

} // namespace ebbmark
