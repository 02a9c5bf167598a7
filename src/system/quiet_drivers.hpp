// SPDX-License-Identifier: GPL-3.0-or-later
// Sound drivers print on the terminal what nobody asked for; it is kept instead.
#pragma once

#include <string>
#include <vector>

namespace ebbmark {

/// To be called before the sound library starts. Drivers that it was built without are left out. Another
/// system: nothing, where its drivers do not print.
void keep_drivers_quiet();

/// What drivers said since then, each with its driver and place.
std::vector<std::string> driver_messages();

} // namespace ebbmark
