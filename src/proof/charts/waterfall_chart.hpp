// SPDX-License-Identifier: GPL-3.0-or-later
// The waterfall as a drawing: what is left of the sound at each frequency, fading downwards with time.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/reports/waterfall_report.hpp"

#include <string>

namespace ebbmark {

/// One map per response, side by side on the same axes and layers. Layers of 6 dB down to 48 dB, or to 6 dB
/// over the noise where that is higher. The ridges that ring longest bear frequency and decay time; the box
/// is what window and frequency can resolve.
Canvas waterfall_chart(const WaterfallReport& report, const ChartSize& size = {});

/// What a reader who can't see the chart is told.
std::string chart_description(const WaterfallReport& report);

} // namespace ebbmark
