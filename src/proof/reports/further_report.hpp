// SPDX-License-Identifier: GPL-3.0-or-later
// Further measures of a comparison: the target per visit, the bass response at the places, clarity.
#pragma once

#include "proof/document/document.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/words/units.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// An array with one entry per visit and target.
Json visit_targets_json(const std::vector<VisitTarget>& targets);
/// Null where there is none.
Json bass_response_json(const std::optional<BassResponse>& bass);
Json clarity_json(const std::vector<ClarityChange>& changes);

Json by_trap_json(const std::vector<TrapAbsorption>& steps);

/// The same as tables and sentences.
DocumentTable bass_table(const BassResponse& bass);
std::string bass_caption(const BassResponse& bass);
std::vector<std::string> bass_sentences(const BassResponse& bass);
DocumentTable clarity_table(const std::vector<ClarityChange>& changes);
/// What each visit's new traps added; without rows where the protocols do not tell them.
DocumentTable by_trap_table(const CompareReport& report, Units units);
/// The visits between, then what the columns of that table are.
std::vector<std::string> chain_sentences(const CompareReport& report);
/// The target, the limits and the judgement in one sentence.
std::string target_sentence(const VisitTarget& visit);

/// Blocks for a terminal; empty where there is nothing to say.
std::string visit_targets_text(const std::vector<VisitTarget>& targets);
std::string bass_response_text(const std::optional<BassResponse>& bass);
/// The visits between, and what each step added; empty where there were two visits only.
std::string chain_text(const CompareReport& report);
std::string clarity_text(const std::vector<ClarityChange>& changes);

} // namespace ebbmark
