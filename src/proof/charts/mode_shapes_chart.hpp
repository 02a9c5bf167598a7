// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/reports/forecast_report.hpp"

namespace ebbmark {

/// One small plan of the room per predicted mode, front wall to the left: where the pressure of either sign
/// is, and the traps' outlines; at half the height, modes upright of odd order at the floor. At most twelve
/// modes, from the lowest.
Canvas mode_shapes_chart(const ModalForecast& forecast, double width);

} // namespace ebbmark
