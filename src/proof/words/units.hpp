// SPDX-License-Identifier: GPL-3.0-or-later
// Lengths, areas, volumes and temperatures in the units that the reader wants. Values come in SI.
#pragma once

#include "results/units.hpp"

#include <string>

namespace ebbmark {

/// "0.55 m"; "1 ft 9 1/2 in", to the nearest half inch.
std::string length_text(double metres, Units units);
/// "12 cm"; "4 3/4 in", to the nearest quarter inch: thicknesses.
std::string thickness_text(double metres, Units units);
/// "2.16 m²"; "23.3 ft²".
std::string area_text(double square_metres, Units units);
/// "35.2 m³"; "1242 ft³".
std::string volume_text(double cubic_metres, Units units);
/// "20.7 °C"; "69.3 °F".
std::string temperature_text(double celsius, Units units);
/// "8.4 kg"; "18.5 lb".
std::string mass_text(double kilograms, Units units);

/// 1 in the document's unit of area: 1 m² or 10.76 ft².
double area_in(double square_metres, Units units);
/// "m²" or "ft²".
std::string area_unit(Units units);

} // namespace ebbmark
