// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/reports/forecast_report.hpp"

#include <string>

namespace ebbmark {

/// Absorption coefficients of the traps with their intervals.
Canvas absorption_chart(const ForecastReport& report, const ChartSize& size = {});
std::string chart_description(const ForecastReport& report);

} // namespace ebbmark
