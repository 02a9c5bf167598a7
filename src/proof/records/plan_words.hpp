// SPDX-License-Identifier: GPL-3.0-or-later
// The room and its traps in words and as a sketch, for the promise and the proof.
#pragma once

#include "job/description.hpp"
#include "proof/charts/room_sketch.hpp"
#include "proof/document/document.hpp"
#include "proof/words/units.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// "4.10 m × 3.30 m × 2.60 m, 35.2 m³, with a recess: niche", or what is known.
std::string room_size(const JobRoom& room, Units units);
/// "12 cm stone wool 45, cloth".
std::string layers_words(const std::vector<TrapLayer>& layers, Units units);
/// Layers and sides of a trap, or "as A" where an earlier one is built alike.
std::string build_words(const std::vector<JobTrap>& traps, std::size_t index, Units units);
/// "rear wall, 1.05 m along, 0.30 m up"
std::string place_words(const TrapPlace& place, Units units);

/// The sketch with its caption; `job.room` must be a box.
DocumentChart sketch_chart(const JobDescription& job, SketchOf state, Units units);

} // namespace ebbmark
