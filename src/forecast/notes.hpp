// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a forecast, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <cstddef>
#include <variant>

namespace ebbmark {

enum class TrapsInside { no, yes };

/// The solver found clearly more or fewer modes than the rigid room has.
struct ModesMayBeMissing {
    std::size_t expected = 0; ///< in the bare, rigid room
    double below_hz = 0;
    std::size_t found = 0;
    TrapsInside traps = TrapsInside::no;
    bool operator==(const ModesMayBeMissing&) const = default;
};

using ForecastNote = std::variant<ModesMayBeMissing>;

} // namespace ebbmark
