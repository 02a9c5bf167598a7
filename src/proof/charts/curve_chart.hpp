// SPDX-License-Identifier: GPL-3.0-or-later
// Energy decay curves of one band before and after.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "results/decay_curves.hpp"

namespace ebbmark {

/// A panel per band, all with the same axes.
Canvas curve_chart(const CurvePanels& panels, const ChartSize& size = {});

} // namespace ebbmark
