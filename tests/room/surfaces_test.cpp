// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/surfaces.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using doctest::Approx;

TEST_CASE("named surfaces carry the printed coefficients") {
    // Source: published. F. A. Everest, Master Handbook of Acoustics, 4th ed., Fig. 7-22: the gypsum board
    // and concrete floor of its worked room.
    CHECK(surface_absorption("gypsum board") == OctaveValues{0.29, 0.10, 0.05, 0.04, 0.07, 0.09});
    CHECK(surface_absorption("concrete floor") == OctaveValues{0.01, 0.01, 0.015, 0.02, 0.02, 0.02});
    CHECK_FALSE(surface_absorption("wallpaper"));
    CHECK(surface_names().find("solid door") != std::string::npos);
}

TEST_CASE("octave values are met at mid-bands, linear between and held outside") {
    // Source: closed form.
    const OctaveValues values{1, 2, 4, 8, 16, 32};
    CHECK(at_frequency(values, 1000) == Approx(8));
    CHECK(at_frequency(values, 1000 * std::pow(10, 0.15)) == Approx(12));
    CHECK(at_frequency(values, 30) == 1);
    CHECK(at_frequency(values, 16000) == Approx(32));
}
