// SPDX-License-Identifier: GPL-3.0-or-later
// Octave-band values of room surfaces, and the common ones by name.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace ebbmark {

/// Values in the octaves 125 Hz to 4 kHz: absorption coefficients, or areas in m².
using OctaveValues = std::array<double, 6>;

/// Linear in lg f between the exact mid-bands; held outside, where tables say nothing.
double at_frequency(const OctaveValues& values, double hz);

/// Random-incidence absorption coefficients of a surface by its generic name ("gypsum board", "wood floor",
/// …), from the textbooks named at the table. Nothing where the name is not there.
std::optional<OctaveValues> surface_absorption(std::string_view name);

/// All names, for messages: "concrete floor, gypsum board, …".
std::string surface_names();

} // namespace ebbmark
