// SPDX-License-Identifier: GPL-3.0-or-later
// What names this process, in a job's lock and in the names of temporary files.
#pragma once

#include <string>

namespace ebbmark {

/// Its number, which no other process of this computer has now.
long this_process();

/// The computer's name in its network; "unknown" where it tells none.
std::string this_computer();

} // namespace ebbmark
