// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/console.hpp"
#include "job/job_folder.hpp"
#include "work/version.hpp"

#include <string>

namespace ebbmark {

/// Now, by this program.
inline Occasion occasion_of(const Console& console) {
    return {console.now(), "ebbmark " + std::string(version)};
}

} // namespace ebbmark
