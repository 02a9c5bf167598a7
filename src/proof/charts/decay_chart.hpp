// SPDX-License-Identifier: GPL-3.0-or-later
// Decay times against frequency as a drawing.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/reports/decay_report.hpp"

#include <string>

namespace ebbmark {

/// One response: EDT, T20 and T30 with their intervals as bars. Several: T20 of each. Bounds are arrows down;
/// bands without any value are tinted, with the reason under the axis.
Canvas decay_chart(const DecayReport& report, const ChartSize& size = {});

/// Above the decay times before and after; below the change with its 95 % interval over the smallest
/// shortening that the data would have found. Filled marks: a change is shown.
Canvas comparison_chart(const CompareReport& report, const ChartSize& size = {});

/// What a reader who can't see the chart is told.
std::string chart_description(const DecayReport& report);
std::string chart_description(const CompareReport& report);

} // namespace ebbmark
