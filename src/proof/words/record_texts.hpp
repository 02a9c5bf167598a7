// SPDX-License-Identifier: GPL-3.0-or-later
// Words that promise and proof share.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text fact_contractor = "Contractor";
inline constexpr Text fact_client = "Client";
inline constexpr Text fact_address = "Address";
inline constexpr Text fact_invoice = "Invoice";
inline constexpr Text fact_room = "Room";
inline constexpr Text fact_size = "Size";
inline constexpr Text fact_visits = "Measured";
inline constexpr Text fact_visit_on = "{} {}";
inline constexpr Text fact_made = "Made on";
inline constexpr Text fact_received = "Received by the client (date, name)";
inline constexpr Text blank_line = "____________________________________________________________";
inline constexpr Text not_given = "not given";
inline constexpr Text box_size = "{} × {} × {}, {}";
inline constexpr Text solid_part = "a solid part: {}";
inline constexpr Text solid_parts = "solid parts: {}";
inline constexpr Text recess = "a recess: {}";
inline constexpr Text recesses = "recesses: {}";
inline constexpr Text place_corner = "{} and {} corner";
inline constexpr Text place_box = "{} and {} corner, a box across it, air behind";
inline constexpr Text built_as = "as {}";
inline constexpr Text dividers = "between strips {} thick, {} apart, {}, along the {}";
inline constexpr Text dividers_straight = "straight";
inline constexpr Text dividers_bowed = "bowed, {} long";
inline constexpr Text dividers_leaning = "leaning, {} long";
inline constexpr Text place_wall = "{} wall";
inline constexpr Text place_along = "{} along";
inline constexpr Text place_up = "{} up";
inline constexpr Text volume_only = "{}, no box";

} // namespace ebbmark::texts
