// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/document/document.hpp"
#include "proof/reports/compare_report.hpp"

#include <vector>

namespace ebbmark {

/// Room modes before and after with their intervals, without name, caption and key.
DocumentTable modes_table(const std::vector<ModeFinding>& modes, const CompareReport& report);

/// The modes that were predicted: what was, and what came of it. No rows where none was.
DocumentTable modes_prediction_table(const std::vector<ModeFinding>& modes);

} // namespace ebbmark
