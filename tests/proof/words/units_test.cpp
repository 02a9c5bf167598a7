// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/numbers.hpp"
#include "proof/words/units.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

// Source: closed form. One inch is 25.4 mm, one pound 0.45359237 kg (agreement of 1959).
TEST_CASE("lengths, areas, volumes and temperatures in both systems") {
    CHECK(length_text(4.6, Units::metric) == "4.60\u00a0m");
    CHECK(length_text(0.3048, Units::imperial) == "1\u00a0ft");
    CHECK(length_text(0.5461, Units::imperial) == "1\u00a0ft\u00a09\u00a01/2\u00a0in");
    CHECK(length_text(0.1, Units::imperial) == "4\u00a0in");
    CHECK(length_text(0.01, Units::imperial) == "1/2\u00a0in");
    CHECK(thickness_text(0.12, Units::metric) == "12\u00a0cm");
    CHECK(thickness_text(0.12, Units::imperial) == "4\u00a03/4\u00a0in");
    CHECK(area_text(2, Units::imperial) == "21.5\u00a0ft²");
    CHECK(volume_text(35.178, Units::metric) == "35.2\u00a0m³");
    CHECK(volume_text(35.178, Units::imperial) == "1242\u00a0ft³");
    CHECK(temperature_text(20, Units::imperial) == "68.0\u00a0°F");
    CHECK(mass_text(4.5359237, Units::imperial) == "10\u00a0lb");
}

TEST_CASE("minus signs stand before numbers, hyphens in words and dates stay") {
    CHECK(with_minus_sign("-43 to -5.2 (-3)") == "−43 to −5.2 (−3)");
    CHECK(with_minus_sign("2026-11-25, SHA-256, after-2") == "2026-11-25, SHA-256, after-2");
}

TEST_CASE("printed numbers follow from the four digits that files keep") {
    CHECK(signed_percent_text(-35.496) == signed_percent_text(-35.5));
    CHECK(seconds_text(0.61549999) == seconds_text(0.6155));
}
