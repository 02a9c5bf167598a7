// SPDX-License-Identifier: GPL-3.0-or-later
// Air as a medium for sound: speed, density, absorption.
#pragma once

namespace ebbmark {

/// State of the air. Range of the formulas: −20 to 50 °C, 10 to 100 % relative humidity, 60 to 110 kPa.
struct Air {
    double celsius = 20;
    double humidity_percent = 50;
    double pressure_pa = 101325;
};

/// Speed of sound of humid air in m/s: O. Cramer, JASA 93 (1993) 2510, as IEC 61094-2:2009 Annex F
/// prints it, with 400 ppm of carbon dioxide.
double speed_of_sound(const Air& air);

/// Density of humid air in kg/m³: CIPM-2007 equation in the form of IEC 61094-2:2009 Annex F.
double density_kg_m3(const Air& air);

/// Absorption by the air in dB/m, ISO 9613-1:1993 equations (3) to (5) and Annex B. Its table holds for
/// the exact mid-band frequencies.
double air_attenuation_db_per_m(double hz, const Air& air);

/// The same as power attenuation coefficient m in 1/m: energy falls as exp(−m · path).
double air_attenuation_per_m(double hz, const Air& air);

} // namespace ebbmark
