// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/console.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// Runs one command line (without the program's name) and returns the exit code: 0 done, 1 bug, 2 wrong
/// command line, 3 input or destination unusable, 4 sound device, 5 rejected, 6 evidence changed, 130
/// interrupted.
int run(const std::vector<std::string>& arguments, Console& console);

} // namespace ebbmark
