// SPDX-License-Identifier: GPL-3.0-or-later
// Cells of the tables that results and records share.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "proof/words/units.hpp"

#include <functional>
#include <optional>
#include <string>

namespace ebbmark {

/// A dash where there is nothing.
std::string seconds_cell(const Measured& value);
std::string seconds_cell(const std::optional<double>& value);
/// The interval alone, "0.49 to 0.69".
std::string interval_cell(const Measured& value, const std::function<std::string(double)>& text);
std::string percent_cell(const Measured& value);
std::string percent_interval_cell(const Measured& value);
/// "4.2 (3.0 to 5.6)": an area with its interval.
std::string area_text(const Measured& area_m2);
/// The same in the document's unit.
std::string area_cell(const Measured& area_m2, Units units);
/// "63 Hz"; "31.5".
std::string band_cell(const Band& band);
/// Whether a rule above the band helps the eye: the lowest third of an octave.
bool opens_octave(const Band& band);

} // namespace ebbmark
