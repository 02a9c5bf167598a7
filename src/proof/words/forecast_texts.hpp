// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `predict`.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text forecast_trap = "{}: face {}\u00a0m², {}\u00a0m deep; from the wall: {}. Model: {}.";
inline constexpr Text forecast_schroeder =
    "Below the Schroeder frequency of {}\u00a0Hz single modes ring and the statistical formulas mean "
    "nothing: "
    "a decay is predicted there from the modes alone, or not at all (conditions). The added absorption there "
    "is a figure as if the sound were diffuse.";
inline constexpr Text forecast_modal =
    "Modes: the wave equation of the box with the traps in it (finite elements), walls fitted to how long "
    "the modes rang before, what is left carried over. A mode is paired by its shape, below an overlap of "
    "0.6 not at all. Bands below {}\u00a0Hz: what a measurement at your places would show of these modes. "
    "Not "
    "modelled: walls that give way, slopes, furniture, panels inside a trap, elastic frames. In invented "
    "rooms "
    "built otherwise than planned (wool, walls, 2 cm) the truth lay inside 93 (bands) to 97 (modes) of 100 "
    "of these "
    "intervals; no measured room has judged them yet.";
inline constexpr Text forecast_sensitivity =
    "What the modes' damping hangs on, half of the modes by more than: flow resistivity from one end of "
    "its range to the other {}\u00a0%, frame from free to standing still {}\u00a0%, form of the pores "
    "{}\u00a0%, "
    "tortuosity {}\u00a0%.";
inline constexpr Text forecast_places =
    "Decay before, measured in visit {}, and predicted: means over {}, where the question is answered.";
inline constexpr Text forecast_no_visit = "No visit before the build was measured yet, so only the traps "
                                          "themselves are predicted. Measure the room, then run "
                                          "predict again.";
inline constexpr Text forecast_variants =
    "What else would help, worked out anew. Decay: change of the mean decay over {0} to {1}; where it is not "
    "told, area: absorption area more than planned, mean over the same bands. Below the Schroeder frequency "
    "the "
    "decay follows from the modes alone, which --design tries for each change and for other places of the "
    "traps:";
inline constexpr Text forecast_no_variants = "What else would help in bands below the Schroeder frequency "
                                             "follows from the modes alone: --design tries "
                                             "changes of the plan and other places of the traps.";
inline constexpr Text forecast_variants_not_tried =
    "The search was ended: {} further changes, less likely to help, were not tried.";
inline constexpr Text forecast_variants_left_out = "{} further changes, less useful, are in --format json.";
inline constexpr Text forecast_at_traps = "at traps: the mode's squared pressure at the traps' faces, "
                                          "against the room's mean. Above 1.5 they stand where it is "
                                          "loud, below 0.5 they hardly reach it. overlap: the traps change "
                                          "the mode so much that none after is the same; "
                                          "not named: no single mode of the room fits it.";
inline constexpr Text forecast_aim_unknown = "Whether the plan meets what was agreed or recommended cannot "
                                             "be told: nothing of that kind is in job.toml, nothing "
                                             "was measured before, or it lies below the Schroeder frequency, "
                                             "where decay does not follow from absorption area.";
inline constexpr Text forecast_aim_met =
    "The plan meets what was agreed and recommended, in all that is forecast.";
inline constexpr Text forecast_aim_smallest =
    "The plan does not meet what was agreed or recommended. The change with the least wool that does: {}.";
inline constexpr Text forecast_aim_untried = "The plan does not meet what was agreed or recommended. Whether "
                                             "one of these changes would, --design tells.";
inline constexpr Text forecast_aim_missed =
    "Neither the plan nor any change above meets what was agreed or recommended.";
inline constexpr Text forecast_method = "Method: transfer matrix of the layers, porous ones as equivalent "
                                        "fluid; random incidence on a face of finite size "
                                        "(Thomasson 1980), so coefficients may exceed 1; open sides count as "
                                        "half of their area, none to all in the interval. "
                                        "Decay: Sabine and Eyring from the measured decay before, the wall "
                                        "behind the traps and their volume taken away, air "
                                        "after ISO 9613-1. The interval draws materials, sides, the decay "
                                        "before, the formula and the model's own error: books "
                                        "differ by 0.1 to 0.3 on one material. Not modelled: stiff frames, "
                                        "panels inside a trap, neighbouring traps' shadow.";
inline constexpr Text forecast_stored = "Kept in the job as {}, with time and SHA-256.";
inline constexpr Text chart_absorption =
    "Absorption coefficient, random incidence, of the face's area; bars: 95\u00a0% interval";
inline constexpr Text chart_describes_absorption =
    "Predicted absorption coefficients of {} traps over third-octave bands, with 95 % intervals.";

} // namespace ebbmark::texts
