// SPDX-License-Identifier: GPL-3.0-or-later
// With which sweep a take is made: as loud as was found safe there, never lower than the loudspeaker bears.
#pragma once

#include "job/level_setting.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// What may differ from the sweep that was found; nothing: as found.
struct AskedSweep {
    std::optional<double> level_dbfs, seconds;
    std::optional<int> repeats;
};

/// Where the sweep is to sound.
struct SweepPlace {
    LevelPlace place;
    bool simulated = false;         ///< a virtual room, which nobody's ears are in
    std::string find_level_command; ///< what to type for a level there
};

/// The sweep found for this output and loudspeaker, no louder; from the lowest frequency that job.toml gives
/// the loudspeaker now. Without a level found anywhere one that is asked for stands in, in a virtual room
/// also the standard one. Throws Error(unusable) with the command that finds a level, Error(usage) where a
/// louder one is asked for.
Sweep sweep_of_take(const JobDescription& job, const KeptLevels& levels, const SweepPlace& where,
                    const AskedSweep& asked);

} // namespace ebbmark
