// SPDX-License-Identifier: GPL-3.0-or-later
// From files of impulse responses to decay times.
#pragma once

#include "decay/decay.hpp"
#include "results/decay_result.hpp"
#include "results/evidence_file.hpp"
#include "work/progress.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Responses of some files, analysed; all have the same bands.
struct AnalysedFiles {
    bool simulated = false; ///< any of them
    std::vector<DecayEntry> entries;
    std::vector<EvidenceFile> files;
};

/// Reads and analyses every channel of every file, or only one of each. The band range is limited to 0.4
/// times the lowest rate among `paths` and `also` (the other side of a comparison). Throws Error(unusable).
AnalysedFiles analyse_files(const std::vector<std::string>& paths, const std::vector<std::string>& also,
                            std::optional<int> only_channel, DecayOptions options, Progress& progress);

} // namespace ebbmark
