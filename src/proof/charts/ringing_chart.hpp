// SPDX-License-Identifier: GPL-3.0-or-later
// The room's modes as a drawing: how long each rings, over frequency.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/reports/ringing_report.hpp"

#include <string>

namespace ebbmark {

/// One stem per mode with its 95 % interval; before and after where both are there, joined where they are one
/// mode, an arrow where it is only bounded. Ranges that cannot be told are tinted. The dashed line is where
/// listeners no longer heard a mode ring.
Canvas ringing_chart(const RingingReport& report, const ChartSize& size = {});

/// What a reader who can't see the chart is told.
std::string chart_description(const RingingReport& report);

} // namespace ebbmark
