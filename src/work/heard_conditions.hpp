// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/bands.hpp"
#include "base/signal.hpp"
#include "verdict/conditions.hpp"
#include "work/analysed_job.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// Of the spectrum of the direct sound in one third octave, against the mean over all of them.
struct DirectSoundChange {
    Band band;
    double change_db = 0;    ///< mean over the positions
    bool is_changed = false; ///< by more than 1 dB, and clearly more than the positions scatter
};

/// From the levels of direct_sound_levels_db at the same positions in two visits; empty with fewer than
/// three.
std::vector<DirectSoundChange> direct_sound_changes(const std::vector<std::vector<double>>& before_db,
                                                    const std::vector<std::vector<double>>& after_db);

/// Fills in level and noise, as means over the visit's recordings in use; responses made elsewhere tell
/// neither.
void add_heard(VisitConditions& conditions, const AnalysedJob& job, const std::string& visit);

/// What the takes themselves say of two visits: sweep, calibration, sound device, the spectrum of the direct
/// sound, and the time from playing
/// to hearing where one device did both. Responses made elsewhere tell nothing.
std::vector<Condition> compared_takes(const AnalysedJob& job, const std::string& before,
                                      const std::string& after);

} // namespace ebbmark
