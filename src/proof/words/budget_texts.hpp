// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the uncertainty budgets.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text budget_head = "What the intervals are made of";
inline constexpr Text budget_measured =
    "Measured: {}, at {}. Standard uncertainties of the ratio after/before (JCGM 100:2008, 5.1).";
inline constexpr Text budget_promised =
    "Promised: {}, at {}. Standard uncertainties of the decay after; between bands each is taken as one and "
    "the same error.";
inline constexpr Text budget_cause = "cause";
inline constexpr Text budget_size = "size";
inline constexpr Text budget_from = "where it comes from";
inline constexpr Text budget_whole = "all together";
inline constexpr Text budget_whole_measured =
    "root of the sum of squares; {} degrees of freedom, so {} times as much for 95\u00a0%: {} to {}\u00a0%";
inline constexpr Text budget_whole_promised =
    "the sum over the bands of each band's whole, for 95\u00a0%: {} to {}\u00a0%";
inline constexpr Text budget_fits = "fits of the decays";
inline constexpr Text budget_fits_from = "bandwidth and decay time of each value (ISO 3382-2:2008, clause 7)";
inline constexpr Text budget_places = "places";
inline constexpr Text budget_places_from =
    "scatter of the change between places beyond the fits; no return was measured";
inline constexpr Text budget_returns = "putting the microphone back";
inline constexpr Text budget_returns_from =
    "the return in each visit beyond the fits, and no less than 1\u00a0cm does";
inline constexpr Text budget_hidden = "hidden values";
inline constexpr Text budget_hidden_from = "decays after that the band filter hides enter as bounds";
inline constexpr Text budget_air = "air";
inline constexpr Text budget_air_from = "humidity or temperature that was not recorded";
inline constexpr Text budget_neighbours = "neighbouring bands";
inline constexpr Text budget_neighbours_from = "their errors go together, as the places show";
inline constexpr Text budget_drift = "drift";
inline constexpr Text budget_drift_from =
    "between the visits before the build, with nothing built between them";
inline constexpr Text budget_no_drift = "Not in it: what a room changes by from one visit to the next with "
                                        "nothing built. One visit before the build does not tell it.";
inline constexpr Text budget_before = "decay before";
inline constexpr Text budget_before_from = "its interval, as measured at these places";
inline constexpr Text budget_wool = "materials";
inline constexpr Text budget_wool_from =
    "range of each material's figures, and how freely the wool's frame moves";
inline constexpr Text budget_model = "model";
inline constexpr Text budget_model_from =
    "walls, dimensions, formulas: 8.5\u00a0% of the damping that the "
    "traps add (more for strips and boxes), from invented rooms; above the "
    "room's single modes how far two formulas lie apart";
inline constexpr Text budget_model_walls = "The walls' losses come from the decays measured before; "
                                           "furniture and walls that give way are in no part.";
inline constexpr Text budget_not_told = "The prediction's table does not say what its intervals are made of.";

} // namespace ebbmark::texts
