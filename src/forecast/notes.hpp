// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a forecast, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <variant>
#include <vector>

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

/// A mode as it was measured, and the box's (or the room's with its parts) of the same orders.
struct ModeOffBox {
    std::array<int, 3> order{};
    double hz = 0, box_hz = 0;
    bool operator==(const ModeOffBox&) const = default;
};

/// Measured modes that lie where the described room has none: the sign of a room that is no exact box.
struct NoExactBox {
    std::vector<ModeOffBox> modes; ///< farther off than `beyond_percent`
    double beyond_percent = 0;
    double deviation_percent = 0; ///< of a single mode's decay, added to its interval
    bool operator==(const NoExactBox&) const = default;
};

/// Modes most of whose damping before is not that of walls that are alike in pairs.
struct DampingUnexplained {
    std::vector<double> modes_hz;
    bool operator==(const DampingUnexplained&) const = default;
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

using ForecastNote =
    std::variant<ModesMayBeMissing, NoExactBox, DampingUnexplained, NoBox, TooManyModes, ModesUntold>;

} // namespace ebbmark
