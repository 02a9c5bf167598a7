// SPDX-License-Identifier: GPL-3.0-or-later
// Cells and small tables that the promise and the proof share.
#pragma once

#include "job/description.hpp"
#include "proof/compare_report.hpp"
#include "proof/document.hpp"
#include "proof/units.hpp"

#include <functional>
#include <string>
#include <vector>

namespace ebbmark {

/// A dash where there is nothing.
std::string seconds_cell(const Measured& value);
std::string seconds_cell(const std::optional<double>& value);
/// The interval alone, "0.49 to 0.69".
std::string interval_cell(const Measured& value, const std::function<std::string(double)>& text);
std::string percent_cell(const Measured& value);
std::string percent_interval_cell(const Measured& value);
/// "4.2 (3.0 to 5.6)" in the document's unit.
std::string area_cell(const Measured& area_m2, Units units);
/// "63 Hz"; "31.5".
std::string band_cell(const Band& band);
/// Whether a rule above the band helps the eye: the lowest third of an octave.
bool opens_octave(const Band& band);

/// "4.10 m × 3.30 m × 2.60 m, 35.2 m³", or what is known.
std::string room_size(const JobRoom& room, Units units);
/// "12 cm stone wool 45, cloth".
std::string layers_words(const std::vector<TrapLayer>& layers, Units units);
/// "rear wall, 1.05 m along, 0.30 m up"
std::string place_words(const TrapPlace& place, Units units);

/// The sketch with its caption; `job.room` must be a box.
DocumentChart sketch_chart(const JobDescription& job, bool built, Units units);

} // namespace ebbmark
