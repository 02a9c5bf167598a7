// SPDX-License-Identifier: GPL-3.0-or-later
// The description of a test signal, `[sweep]` in TOML: written beside the signal, or by hand for a sweep that
// someone else made.
#pragma once

#include "files/toml.hpp"
#include "signal/sweep.hpp"

#include <filesystem>
#include <string>

namespace ebbmark {

struct SweepDescription {
    Sweep sweep;
    std::string sha256; ///< of the WAV file; empty where not given
};

/// Reads the file. Needed are start_hz, stop_hz and seconds; repeat_period_s is seconds + tail_silence_s + 2
/// where it is not given. Throws Error(unusable) with file, line, column, key and mend.
SweepDescription read_sweep(const std::filesystem::path& path);

/// The same from a table `[sweep]` of another file.
SweepDescription sweep_from(const TomlTable& table);

/// The whole file's text. `sha256` is left out where empty.
std::string to_toml(const Sweep& sweep, const std::string& sha256);

} // namespace ebbmark
