// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/canvas.hpp"
#include "proof/chart_axes.hpp"
#include "proof/forecast_report.hpp"

#include <string>

namespace ebbmark {

/// Absorption coefficients of the traps with their intervals.
Canvas absorption_chart(const ForecastReport& report, const ChartSize& size = {});
std::string chart_description(const ForecastReport& report);

} // namespace ebbmark
