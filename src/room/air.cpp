// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/air.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double zero_celsius_k = 273.15;
constexpr double carbon_dioxide = 0.0004; // mole fraction; IEC 61094-2:2009 Table F.1 is met with it

/// Mole fraction of water vapour, IEC 61094-2:2009 Annex F.
double water_fraction(const Air& air) {
    const double kelvin = air.celsius + zero_celsius_k;
    const double saturation_pa =
        std::exp(1.2378847e-5 * kelvin * kelvin - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin);
    const double enhancement = 1.00062 + 3.14e-8 * air.pressure_pa + 5.6e-7 * air.celsius * air.celsius;
    return air.humidity_percent / 100 * saturation_pa / air.pressure_pa * enhancement;
}

} // namespace

double speed_of_sound(const Air& air) {
    const double t = air.celsius, p = air.pressure_pa;
    const double w = water_fraction(air), c = carbon_dioxide;
    return 331.5024 + 0.603055 * t - 0.000528 * t * t + (51.471935 + 0.1495874 * t - 0.000782 * t * t) * w +
           (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t * t) * p +
           (-85.20931 - 0.228525 * t + 5.91e-5 * t * t) * c - 2.835149 * w * w - 2.15e-13 * p * p +
           29.179762 * c * c + 0.000486 * w * p * c;
}

double density_kg_m3(const Air& air) {
    const double t = air.celsius, p = air.pressure_pa, kelvin = t + zero_celsius_k;
    const double w = water_fraction(air);
    const double compressibility = 1 -
                                   p / kelvin *
                                       (1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t +
                                        (5.707e-6 - 2.051e-8 * t) * w + (1.9898e-4 - 2.376e-6 * t) * w * w) +
                                   p * p / (kelvin * kelvin) * (1.83e-11 - 0.765e-8 * w * w);
    return 3.483740e-3 /* at 400 ppm of carbon dioxide */ * p / (compressibility * kelvin) * (1 - 0.3780 * w);
}

double air_attenuation_db_per_m(double hz, const Air& air) {
    const double kelvin = air.celsius + zero_celsius_k;
    const double ratio = kelvin / 293.15;             // T / T0
    const double pressure = air.pressure_pa / 101325; // pa / pr
    const double saturation = std::pow(10, -6.8346 * std::pow(273.16 / kelvin, 1.261) + 4.6151);
    const double h = air.humidity_percent * saturation / pressure;
    const double oxygen_hz = pressure * (24 + 4.04e4 * h * (0.02 + h) / (0.391 + h));
    const double nitrogen_hz =
        pressure / std::sqrt(ratio) * (9 + 280 * h * std::exp(-4.170 * (std::pow(ratio, -1.0 / 3) - 1)));
    const double classical = 1.84e-11 / pressure * std::sqrt(ratio);
    const double oxygen = 0.01275 * std::exp(-2239.1 / kelvin) / (oxygen_hz + hz * hz / oxygen_hz);
    const double nitrogen = 0.1068 * std::exp(-3352.0 / kelvin) / (nitrogen_hz + hz * hz / nitrogen_hz);
    return 8.686 * hz * hz * (classical + std::pow(ratio, -2.5) * (oxygen + nitrogen));
}

double air_attenuation_per_m(double hz, const Air& air) {
    return air_attenuation_db_per_m(hz, air) / (10 * std::numbers::log10e);
}

} // namespace ebbmark
