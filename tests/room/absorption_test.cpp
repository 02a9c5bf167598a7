// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/absorption.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using doctest::Approx;

TEST_CASE("Sabine and Eyring times of worked rooms") {
    // Source: independent. Test values of open acoustics libraries, c = 343 m/s, ten figures.
    const AbsorbingArea even[] = {{2 * (8 * 5 + 5 * 3 + 8 * 3.0), 0.2}};
    CHECK(sabine_s(120, even, 343) == Approx(0.6118246547).epsilon(1e-9));
    CHECK(eyring_s(120, even, 343) == Approx(0.5483686633).epsilon(1e-9));
    const AbsorbingArea pairs[] = {{30, 0.5}, {48, 0.1}, {80, 0.1}};
    CHECK(sabine_s(120, pairs, 343) == Approx(0.6954553629).epsilon(1e-9));
    CHECK(eyring_s(120, pairs, 343) == Approx(0.6323007560).epsilon(1e-9));
    const AbsorbingArea hall[] = {{240, 0.1}, {600, 0.25}, {500, 0.45}};
    CHECK(sabine_s(3000, hall, 343) == Approx(1.211382149).epsilon(1e-9));
    CHECK(eyring_s(3000, hall, 343) == Approx(1.020427763).epsilon(1e-9));
}

TEST_CASE("Everest's worked room") {
    // Source: published. F. A. Everest, Master Handbook of Acoustics, 4th ed., Fig. 7-22: 3728 ft³, concrete
    // floor 373 ft², gypsum board 1159 ft². The book works in feet and rounds to 0.01 s.
    constexpr double foot2 = 0.3048 * 0.3048, foot3 = foot2 * 0.3048;
    struct Row {
        double concrete, gypsum, printed_s;
    };
    const Row rows[] = {{0.01, 0.29, 0.54}, {0.01, 0.10, 1.53}, {0.015, 0.05, 2.87},
                        {0.02, 0.04, 3.39}, {0.02, 0.07, 2.06}, {0.02, 0.09, 1.63}};
    for (const Row& row : rows) {
        const AbsorbingArea areas[] = {{373 * foot2, row.concrete}, {1159 * foot2, row.gypsum}};
        CHECK(std::abs(sabine_s(3728 * foot3, areas, 343) - row.printed_s) < 0.013);
    }
}

TEST_CASE("the bare room of EN 12354-6") {
    // Source: published. EN 12354-6 Annex E, V 29.75 m³, 1 kHz: A 2.26 m², T 2.1 s (one decimal).
    const AbsorbingArea areas[] = {{12.39, 0.05}, {12.39, 0.02}, {2 * 10.90, 0.04}, {2 * 6.55, 0.04}};
    CHECK(std::abs(sabine_s(29.75, areas, 343) - 2.1) < 0.05);
    CHECK(sabine_s(29.75, areas, 343) == Approx(2.118).epsilon(0.001));
}

TEST_CASE("air shortens the decay by 4 m V of absorption") {
    // Source: closed form.
    const AbsorbingArea areas[] = {{100, 0.1}};
    CHECK(sabine_s(50, areas, 343, 0.005) == Approx(sabine_s(50, areas, 343) * 10 / 11));
}

TEST_CASE("absorption added between two decays") {
    // Source: closed form, ISO 354:2003 clause 8, evaluated independently to four decimals.
    CHECK(added_absorption_m2(50, {0.8, 20, 0}, {0.55, 20, 0}) == Approx(4.5802).epsilon(1e-5));
    CHECK(added_absorption_m2(50, {0.6, 20, 1e-4}, {0.45, 23, 1e-4}) == Approx(4.3849).epsilon(1e-5));
    CHECK(added_absorption_m2(50, {1.2, 20, 0}, {0.7, 20, 0}) == Approx(4.7983).epsilon(1e-5));
    CHECK(added_absorption_uncertainty_m2(50, {0.8, 20, 0}, {0.55, 20, 0}, 0.05, 0.05) ==
          Approx(0.889).epsilon(0.001));
    CHECK(added_absorption_uncertainty_m2(50, {0.6, 20, 0}, {0.45, 23, 0}, 0.05, 0.05) ==
          Approx(1.116).epsilon(0.001));
    CHECK(added_absorption_uncertainty_m2(50, {1.2, 20, 0}, {0.7, 20, 0}, 0.05, 0.05) ==
          Approx(0.667).epsilon(0.001));
}

TEST_CASE("the ISO 17497-1 chain with its own speed of sound") {
    // Source: published. ISO 17497-1 numbers: V 200 m³, S 10 m², c 343.2, T 8.0 to 6.0 s gives 0.1342754,
    // T 7.5 to 5.0 s gives 0.2148407. At c = 331 + 0.6 t that is t = 20.333 °C.
    const double celsius = 12.2 / 0.6;
    CHECK(added_absorption_m2(200, {8, celsius, 0}, {6, celsius, 0}) / 10 == Approx(0.1342754).epsilon(1e-6));
    CHECK(added_absorption_m2(200, {7.5, celsius, 0}, {5, celsius, 0}) / 10 ==
          Approx(0.2148407).epsilon(1e-6));
}
