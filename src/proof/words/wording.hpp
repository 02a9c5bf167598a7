// SPDX-License-Identifier: GPL-3.0-or-later
// Findings in plain words, the same on the terminal, on paper and on the page.
#pragma once

#include "base/measured.hpp"
#include "results/compared.hpp"

#include <set>
#include <string>
#include <vector>

namespace ebbmark {

/// What the comparison says, in one or two sentences that stand alone: changes for the better and for the
/// worse with equal weight. "No change shown" is never worded as "no change".
std::string headline(const Comparison& comparison);

/// The bands that the headline leaves out: shown unchanged, not shown, not measurable. One sentence each.
std::vector<std::string> remaining_findings(const Comparison& comparison);

/// What is remarked on one band.
struct BandNotes {
    Band band;
    std::vector<std::string> notes;
};

/// Each note once, with the bands that it is on in front.
std::vector<std::string> grouped_notes(const std::vector<BandNotes>& all);

/// Notes on the whole comparison.
std::vector<std::string> notes_on_whole(const CompareReport& report);

/// These, then those on its bands.
std::vector<std::string> all_notes(const CompareReport& report);

/// What is to be printed beside every judgement by a target: its limits are from memory.
std::string target_source_note();
/// The same beside every grade of the set-up.
std::string setup_source_note();

/// How many positions were compared, and how.
std::string compared_positions(const Comparison& comparison);

/// The statistics behind the findings, in a sentence.
std::string comparison_method(const Comparison& comparison);

/// "T20", "T30".
std::string metric_text(Metric metric);

/// The codes used, each with its meaning, as one sentence; empty without codes.
std::string reasons_sentence(const std::set<Empty>& reasons);

/// The codes in a comparison.
std::set<Empty> reasons_in(const Comparison& comparison);

} // namespace ebbmark
