// SPDX-License-Identifier: GPL-3.0-or-later
// Whether what job.toml plans can stand in the room as it says: traps, parts, patches and places.
#pragma once

#include "files/toml.hpp"
#include "job/description.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// What becomes of a plan that cannot be meant. `noted` is for a job in which something was measured: its
/// evidence must be read all the same.
enum class WrongPlan { refused, noted };

/// What is suspicious in a plan, and, where that is noted, what is wrong in it; each with file, line, column
/// and key. `root` is the file that `job` was read from. Throws Error(unusable) for the first that is wrong
/// where that is refused. Rooms that are no box are checked for places on one spot alone.
std::vector<std::string> plan_doubts(const TomlTable& root, const JobDescription& job, WrongPlan wrong);

} // namespace ebbmark
