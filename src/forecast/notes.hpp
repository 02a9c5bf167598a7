// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a forecast, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <cstddef>
#include <string>
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

/// Why no mode is predicted: nothing gives the room three edges.
struct NoBox {
    bool operator==(const NoBox&) const = default;
};

/// Even so far down there are too many to tell one by one.
struct TooManyModes {
    double modes = 0, below_hz = 0;
    bool operator==(const TooManyModes&) const = default;
};

/// Those of the visit before could not be told.
struct ModesUntold {
    std::string because; ///< an error's own words
    bool operator==(const ModesUntold&) const = default;
};

using ForecastNote = std::variant<ModesMayBeMissing, NoBox, TooManyModes, ModesUntold>;

} // namespace ebbmark
