// SPDX-License-Identifier: GPL-3.0-or-later
// Two states of a room, each known from files of impulse responses.
#pragma once

#include "decay/decay.hpp"
#include "results/compared.hpp"
#include "work/progress.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct FilesToCompare {
    std::vector<std::string> before, after; ///< paths
    bool paired = true;                     ///< the same positions in the same order
    std::optional<double> volume_m3 = {};   ///< for the added absorption area
    std::optional<int> only_channel = {};   ///< of each file; nothing: all
};

/// Repeats of one place are joined. Throws Error(usage) where pairs do not come out, Error(unusable).
CompareReport compare_files(const FilesToCompare& files, const DecayOptions& asked, Progress& progress);

} // namespace ebbmark
