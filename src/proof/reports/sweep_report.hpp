// SPDX-License-Identifier: GPL-3.0-or-later
// What `sweep` wrote, with the cautions that belong to playing it. Pure.
#pragma once

#include "signal/sweep.hpp"

#include <string>

namespace ebbmark {

struct SweepReport {
    std::string sound;       ///< the WAV file
    std::string description; ///< its description in TOML
    Sweep sweep;
    std::string sha256; ///< of the sound
};

std::string to_json(const SweepReport& report);

/// Field and value, one pair per row.
std::string to_csv(const SweepReport& report);

std::string to_text(const SweepReport& report);

} // namespace ebbmark
