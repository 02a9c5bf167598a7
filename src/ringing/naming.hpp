// SPDX-License-Identifier: GPL-3.0-or-later
// Measured modes against those of a rectangular room.
#pragma once

#include "ringing/ringing.hpp"

#include <array>
#include <functional>
#include <map>
#include <vector>

namespace ebbmark {

/// What is known of the room before measuring its modes.
struct ExpectedRoom {
    std::array<double, 3> axis_hz{}; ///< lowest mode along length, width, height: c/(2L) at the visit's air
    /// Expected relative amplitude of the mode of these orders at each position (product of the mode shape at
    /// source and microphone); empty function where places are unknown.
    std::function<std::vector<double>(const std::array<int, 3>&)> shape;
    /// The direct sound's travel time per position. A response counts from its direct sound on, so that a
    /// mode has turned by this much more at a distant microphone; empty where the responses count from the
    /// emission.
    std::vector<double> travel_s;
    /// A room with parts: frequency of its mode over that of the box's with these orders. Those that are not
    /// there have no mode of their own and name none; empty where the room is the box.
    std::map<std::array<int, 3>, double> over_box = {};
};

/// Gives each mode its orders where exactly one expected mode fits it and it alone fits that one: by
/// frequency, within 3.5 % at first (dimensions to 2 cm, walls that give way) and within 0.8 % of the axes as
/// fitted to the modes named so far; where places are known, also by shape (modal assurance criterion at
/// least 0.95, any rival below 0.6).
void name_modes(Ringing& ringing, const ExpectedRoom& room);

/// Modes of the ideal room and of the measurement in one range.
struct ModeCount {
    double nominal_hz = 0;
    double from_hz = 0, to_hz = 0;
    int expected = 0, found = 0;
};

/// Per one-third octave with its nominal frequency in [from_hz, to_hz].
std::vector<ModeCount> count_modes(const Ringing& ringing, const ExpectedRoom& room, double from_hz,
                                   double to_hz);

} // namespace ebbmark
