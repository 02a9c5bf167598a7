// SPDX-License-Identifier: GPL-3.0-or-later
// The room from above and from its right side, to scale, with traps, sources and microphones.
#pragma once

#include "job/description.hpp"
#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/words/units.hpp"

#include <string>

namespace ebbmark {

/// Which traps a sketch shows.
enum class SketchOf { plan, built };

/// Plan and side elevation beside each other, or one above the other where the canvas is narrow. Traps bear
/// letters in the order of job.toml, parts and patches their names where there is space; where a trap was
/// built elsewhere than planned the planned place is dashed. The room must be a box.
Canvas room_sketch(const JobDescription& job, SketchOf which, Units units, const ChartSize& size);

enum class PageWidth { wide, narrow };

/// Height over width that both views need.
double sketch_height(const RoomShape& room, PageWidth page);

/// "A" to "Z", then "A2" and so on.
std::string trap_letter(std::size_t index);

} // namespace ebbmark
