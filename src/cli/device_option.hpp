// SPDX-License-Identifier: GPL-3.0-or-later
// The options that choose a sound device, the same in `level` and `take`.
#pragma once

#include "capture/device.hpp"
#include "cli/command.hpp"

#include <memory>
#include <string>

namespace ebbmark {

void declare_device(Options& options);

/// Throws Error(usage) without --device or both of --input and --output, otherwise as open_device.
std::unique_ptr<SoundDevice> device_of(const Arguments& arguments);

/// The command that finds a level for this loudspeaker with the same device, to be typed as it stands.
std::string level_command(const Arguments& arguments, const std::string& source);

} // namespace ebbmark
