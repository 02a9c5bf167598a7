// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `decay JOB --visit V` as bytes. Pure: no file, clock or terminal.
#pragma once

#include "proof/reports/decay_report.hpp"
#include "results/visit_analysis.hpp"

#include <string>

namespace ebbmark {

/// One JSON object: `responses` as without a job, each with `position` and `take`, and what the visit says of
/// the room. Where several takes were averaged, `take` names all, joined by ", ".
std::string to_json(const VisitReport& report);

/// One row per band of each position, of the return and of the means; `row` says which.
std::string to_csv(const VisitReport& report);

/// For reading on a terminal of 100 columns: the means by question, then room, targets and grade, then every
/// position.
std::string to_text(const VisitReport& report);

/// The positions as a chart draws them.
DecayReport positions_of(const VisitReport& report);

} // namespace ebbmark
