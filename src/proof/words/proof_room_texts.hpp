// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the proof: traps, what was fixed, sketch and photos.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text traps_head = "Traps: planned and built";
inline constexpr Text traps_none = "No trap is described in the job.";
inline constexpr Text traps_as_planned = "as planned";
inline constexpr Text traps_not_said = "not recorded";
inline constexpr Text traps_none_otherwise = "Nothing was recorded as built otherwise than planned; see "
                                             "conditions and limits for what else may differ.";
inline constexpr Text traps_no_forecast_as_built =
    "Built otherwise than planned: {}. What was built was not worked out (ebbmark predict JOB --as-built "
    "--keep); the promise is held against the plan.";
inline constexpr Text traps_built_caption = "Planned, built, measured: decay times at {}";
inline constexpr Text traps_built_key =
    "planned: what was promised, and what the measurement is judged against. as built: the same forecast "
    "with "
    "what [trap.built] says, from {} of {}; it explains, and judges nothing.";
inline constexpr Text traps_planned_now = "No promise fixes the plan: planned is what job.toml says now.";
inline constexpr Text fixed_head = "What job.toml says otherwise than what was fixed";
inline constexpr Text fixed_same =
    "job.toml plans now what the promise of {} fixed: checked when this was made.";
inline constexpr Text fixed_promise_counts =
    "The promise of {} counts: its question, acceptance, places and planned traps are those of this record. "
    "The room's size counts as job.toml has it now.";
inline constexpr Text fixed_question_counts =
    "What was fixed on {} counts, when the first take after the build was kept: its question and acceptance "
    "are those of this record.";
inline constexpr Text fixed_column = "as fixed";
inline constexpr Text fixed_now_column = "job.toml now";
inline constexpr Text fixed_absent = "not there";
inline constexpr Text fixed_nothing_agreed = "nothing agreed";
inline constexpr Text fixed_at_least = "at least {}\u00a0% shorter";
inline constexpr Text fixed_modes = "modes at {}";
inline constexpr Text fixed_bands = "third octaves from {} to {}";
inline constexpr Text fixed_trap = "{} × {}; {}; {}; {}";
inline constexpr Text fixed_place = "{} to the rear, {} to the right, {} up; {}";
inline constexpr Text sketch_head = "Where everything stood";
inline constexpr Text sketch_plan = "from above, front wall at the top";
inline constexpr Text sketch_elevation = "from the right side, front wall at the left";
inline constexpr Text sketch_none = "No sketch: the job gives the room no length, width and height. "
                                    "Coordinates below are from the front left "
                                    "floor corner.";
inline constexpr Text sketch_caption =
    "Lettered areas: traps. Triangles: loudspeaker places. Circles: microphone places, filled where somebody "
    "listens.";
inline constexpr Text sketch_moved = " Dashed: where a trap was planned, before it was built elsewhere.";
inline constexpr Text sketch_parts =
    " Hatched: solid parts. Bars on walls and dashed areas: doors, windows and "
    "other patches; dotted: a recess behind a wall.";
inline constexpr Text places_caption = "Places, from the front left floor corner";
inline constexpr Text place_source = "loudspeaker";
inline constexpr Text place_microphone = "microphone";
inline constexpr Text place_listening = "microphone, listening place";
inline constexpr Text wool_mass = "{} of wool weighed in";
inline constexpr Text photos_head = "Photos";
inline constexpr Text photos_missing = "{} is named in the job but could not be shown: {}.";

} // namespace ebbmark::texts
