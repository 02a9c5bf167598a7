// SPDX-License-Identifier: GPL-3.0-or-later
// The charts of a proof that show the comparison against what was promised.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/reports/compare_report.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Decay times before and after over the predicted range and under the target's upper limit. Bars after: the
/// interval of the change.
Canvas result_chart(const CompareReport& report, const ChartSize& size = {});

/// Absorption area that a prediction adds to this room in one band: that of the decay times before and as
/// predicted, with its interval. Nothing without volume, decay before or prediction.
std::optional<Measured> predicted_area_m2(const CompareReport& report, const BandFinding& band);

/// Absorption area added, measured and predicted. `unit_m2` is one unit of area in m², `unit` its name.
Canvas added_area_chart(const CompareReport& report, double unit_m2, const std::string& unit,
                        const ChartSize& size = {});

} // namespace ebbmark
