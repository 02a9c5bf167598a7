// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/units.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a cell has its value, or a dash where there is none") {
    CHECK(seconds_cell(Measured::of(0.61)) == "0.61");
    CHECK(seconds_cell(Measured::none(Empty::noise)) == "–");
    CHECK(seconds_cell(std::optional<double>()) == "–");
    CHECK(percent_cell(Measured::of(-43)) == "−43");
    CHECK(percent_cell(Measured::of(3.14)) == "+3.1");
    CHECK(percent_cell(Measured::none(Empty::noise)) == "–");
    CHECK(band_cell(bands_between(BandWidth::third, 31.5, 31.5).front()) == "31.5");
}

TEST_CASE("an interval goes from its low to its high end and needs both") {
    const Measured change{-30, -38, -21, {}};
    CHECK(percent_interval_cell(change) == "−38 to −21");
    CHECK(interval_cell({0.6, 0.49, 0.69, {}}, seconds_text) == "0.49 to 0.69");
    CHECK(interval_cell({0.6, 0.49, {}, {}}, seconds_text) == "–");
    CHECK(interval_cell(Measured::of(0.6), seconds_text) == "–");
}

// Source: closed form. A foot is 0.3048 m (agreement of 1959), so 1 m² is 1/0.3048² ft².
TEST_CASE("areas and their intervals are told in the reader's unit") {
    const Measured area{-1.5, -2.4, 0.7, {}};
    CHECK(area_text(area) == "-1.5 (-2.4 to 0.7)");
    CHECK(area_cell(area, Units::metric) == "−1.5 (−2.4 to 0.7)");
    CHECK(area_cell(area, Units::imperial) == "−16.1 (−25.8 to 7.5)");
    CHECK(area_text(Measured::of(2)) == "2.0");
    CHECK(area_cell(Measured::none(Empty::noise), Units::imperial) == "–");
    CHECK(area_in(0.3048 * 0.3048, Units::imperial) == doctest::Approx(1));
    CHECK(area_in(2, Units::metric) == 2);
    CHECK(area_unit(Units::imperial) == "ft²");
}

// Source: published. IEC 61260-1:2014, Annex E: the thirds 50, 63 and 80 Hz lie in the octave 63 Hz.
TEST_CASE("a rule stands above the lowest third of each octave, and above no octave") {
    std::vector<double> opening;
    for (const Band& band : bands_between(BandWidth::third, 31.5, 400))
        if (opens_octave(band))
            opening.push_back(band.nominal_hz);
    CHECK(opening == std::vector<double>{50, 100, 200, 400});
    for (const Band& band : bands_between(BandWidth::octave, 63, 4000))
        CHECK(!opens_octave(band));
}

TEST_CASE("times are kept to the microsecond") {
    CHECK(to_microsecond(1.23456789) == doctest::Approx(1.234568).epsilon(1e-9));
}
