// SPDX-License-Identifier: GPL-3.0-or-later
// What the page of `compare` and the proof say in the same words.
#pragma once

#include "proof/document/document.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/words/units.hpp"

namespace ebbmark {

/// Every band with its change, interval and finding; prediction and added area where there are any. Its key:
/// the codes in it.
DocumentTable bands_table(const CompareReport& report, Units units);

/// What the findings that occur mean; without paragraphs where there is none.
DocumentColumns::Entry meaning_of(const Comparison& comparison);

/// What no finding proves.
DocumentColumns::Entry limits_of_proof();

/// How everything was evaluated.
DocumentColumns::Entry method_of(const CompareReport& report, Units units);

/// For whoever repeats the measurement.
DocumentColumns::Entry caution_when_repeating();

} // namespace ebbmark
