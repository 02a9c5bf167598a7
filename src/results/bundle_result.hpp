// SPDX-License-Identifier: GPL-3.0-or-later
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

} // namespace ebbmark
