// SPDX-License-Identifier: GPL-3.0-or-later
// Invented results for the tests of this folder; no room was measured for them.
#pragma once

#include "proof/reports/compare_report.hpp"
#include "proof/reports/decay_report.hpp"
#include "proof/reports/json_fields.hpp"

#include <string>

namespace ebbmark::samples {

/// Text with control characters, markup, a direction mark and a broken byte.
extern const std::string hostile_name;

/// One band with every value, as in the published example.
BandDecay full_band(const Band& band);

/// One response over `from_hz` to `to_hz` with values, empty values and a bound.
DecayReport decay_report(BandWidth width = BandWidth::third, double from_hz = 20, double to_hz = 10000);

/// A comparison over the range with every kind of finding.
CompareReport compare_report(BandWidth width = BandWidth::third, double from_hz = 20, double to_hz = 10000);

/// The same with every band not measurable.
CompareReport all_empty_report();

/// The same with every change turned round: longer instead of shorter.
CompareReport longer_report();

/// Nothing shown in any band.
CompareReport nothing_shown_report();

/// Nothing where `actual` has the same keys in the same order and the same types of values as `example`
/// (arrays: each element as the example's first); else the first difference. null goes with every type.
/// Keys in `actual` beyond the example's are allowed.
std::string difference_in_shape(const Json& example, const Json& actual, const std::string& where = "");

} // namespace ebbmark::samples
