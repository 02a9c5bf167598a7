// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/draw/canvas.hpp"

namespace ebbmark {

/// SIMULATED across a whole page, pale.
void draw_watermark(Canvas& page);

} // namespace ebbmark
