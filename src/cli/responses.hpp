// SPDX-License-Identifier: GPL-3.0-or-later
// Impulse responses named on the command line, and the options of their analysis.
#pragma once

#include "cli/command.hpp"
#include "decay/decay.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/reports/decay_report.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// --bands, --from, --to, --channel.
void declare_analysis(Options& options);

/// The bands asked for.
DecayOptions decay_options(const Arguments& arguments);

/// Responses of some files, analysed; all have the same bands.
struct Analysed {
    bool simulated = false; ///< any of them
    std::vector<DecayEntry> entries;
    std::vector<EvidenceFile> files;
};

/// Reads and analyses every channel of every file, or only that of --channel. The band range is limited to
/// 0.4 times the lowest rate among `paths` and `also` (the other side of a comparison).
Analysed analyse_files(const Arguments& arguments, Console& console, const std::vector<std::string>& paths,
                       const std::vector<std::string>& also = {});

} // namespace ebbmark
