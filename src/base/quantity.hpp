// SPDX-License-Identifier: GPL-3.0-or-later
// Quantities as people write them ("5 5/8 in", "21 °C", "35 m3") to SI numbers.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace ebbmark {

/// What a text is expected to measure; fixes which units are understood.
enum class Dimension {
    length,           ///< m, cm, mm, in, ft, also "9 ft 4 in" and fractions; to metres
    area,             ///< m2, cm2, ft2; to square metres
    volume,           ///< m3, l, ft3; to cubic metres
    frequency,        ///< Hz, kHz; to hertz
    time,             ///< s, ms, min; to seconds
    temperature,      ///< °C, C, K, °F, F; to degrees Celsius
    percent,          ///< %; to per cent
    density,          ///< kg/m3, lb/ft3; to kg/m3
    mass,             ///< kg, g, lb, oz; to kg
    surface_density,  ///< kg/m2, g/m2, oz/yd2; to kg/m2
    flow_resistivity, ///< Pa.s/m2, kPa.s/m2, rayl/m; to Pa s/m2
    flow_resistance,  ///< Pa.s/m, rayl; to Pa s/m
    level             ///< dB; to dB
};

/// The value of `text` in the unit named at the dimension. A bare number is in that unit.
/// Decimal point or comma. Throws Error(unusable) that repeats the text and names the units understood.
double parse_quantity(std::string_view text, Dimension dimension);

/// Three edge lengths from "4.1 x 3.3 x 2.6 m" or "13 ft 5 in x 10 ft 10 in x 8 ft 6 in"; a unit at the end
/// holds for all. Metres, each above 0. Throws Error(unusable).
std::array<double, 3> parse_box(std::string_view text);

} // namespace ebbmark
