// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `decay` on a visit.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text visit_title = "Visit {}: {} positions in the room, {} at listening places";
inline constexpr Text visit_room_mean = "Mean over the room: {}";
inline constexpr Text visit_listening_mean = "Listening places, apart from the room: {}";
inline constexpr Text visit_mean_key =
    "Means are arithmetic. T20, T30: with the 95\u00a0% interval that the spread between positions gives. "
    "shape: where all positions agree. spread: standard deviation of T20 between positions. n: positions "
    "with "
    "a T20 of all.";
inline constexpr Text visit_room_head = "Room";
inline constexpr Text visit_room_size = "Volume {}, surface {}, air {}\u00a0°C and {}\u00a0% humidity.";
inline constexpr Text unknown = "not known";
inline constexpr Text cubic_metres = "{}\u00a0m³";
inline constexpr Text square_metres = "{}\u00a0m²";
inline constexpr Text visit_schroeder =
    "Schroeder frequency {}\u00a0Hz, from the mean decay time of {}\u00a0s between 400\u00a0Hz and "
    "1.25\u00a0kHz. Below it single modes ring, and the absorption is a figure as if the sound were diffuse.";
inline constexpr Text visit_absorption_key =
    "A: equivalent absorption area without the air, 55.3\u00a0V/(c\u00a0T) − 4\u00a0V\u00a0m (ISO 354, from "
    "memory). air: that of the air, 4\u00a0V\u00a0m (ISO 9613-1). α: A over the surface.";
inline constexpr Text as_if_diffuse = "as if diffuse";
inline constexpr Text visit_targets_head = "Targets";
inline constexpr Text visit_no_target = "No target is set in job.toml ([room] target).";
inline constexpr Text visit_target = "{}: nominal decay time {}\u00a0s for this volume.";
inline constexpr Text visit_target_plain = "{}: {}";
inline constexpr Text visit_grade_head = "Grade of the set-up";
inline constexpr Text visit_grade = "{} grade of ISO 3382-2: {} source-microphone pairs, {} source and {} "
                                    "microphone places, none of them a listening place.";
inline constexpr Text visit_no_grade =
    "No grade of ISO 3382-2 is reached: {} source-microphone pairs, {} source "
    "and {} microphone places, none of them a listening place.";
inline constexpr Text visit_accuracy = "Nominal accuracy of the mean: {}\u00a0%.";
inline constexpr Text visit_wanted = "{}\u00a0m or more";
inline constexpr Text visit_holds_from = "enough from {}\u00a0Hz up";
inline constexpr Text visit_never_holds = "enough at no frequency";
inline constexpr Text visit_return_head = "Return to {}: T20 measured again after moving the microphone away";
inline constexpr Text visit_positions_head = "Every position";
inline constexpr Text visit_position = "{}, {}, {}\u00a0Hz, onset at {}\u00a0s";
inline constexpr Text visit_listening_position = "{} (listening place), {}, {}\u00a0Hz, onset at {}\u00a0s";
inline constexpr Text visit_digest = "Evidence {}\nEbbmark {}";

} // namespace ebbmark::texts
