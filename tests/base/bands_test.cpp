// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bands.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <stdexcept>

using namespace ebbmark;

TEST_CASE("exact mid-band and edge frequencies of the base-10 system") {
    // Source: published. IEC 61260-1:2014 clause 5, G = 10^(3/10); values to six decimals.
    struct Row {
        BandWidth width;
        int index;
        double nominal, exact, lower, upper;
    };
    const Row rows[] = {{BandWidth::octave, -6, 16, 15.848932, 11.220185, 22.387211},
                        {BandWidth::octave, -4, 63, 63.095734, 44.668359, 89.125094},
                        {BandWidth::octave, 0, 1000, 1000.0, 707.945784, 1412.537545},
                        {BandWidth::octave, 4, 16000, 15848.931925, 11220.184543, 22387.211386},
                        {BandWidth::third, -20, 10, 10.0, 8.912509, 11.220185},
                        {BandWidth::third, -17, 20, 19.952623, 17.782794, 22.387211},
                        {BandWidth::third, -12, 63, 63.095734, 56.234133, 70.794578},
                        {BandWidth::third, -9, 125, 125.892541, 112.201845, 141.253754},
                        {BandWidth::third, 5, 3150, 3162.277660, 2818.382931, 3548.133892},
                        {BandWidth::third, 13, 20000, 19952.623150, 17782.794100, 22387.211386}};
    for (const Row& row : rows) {
        const Band band = band_at(row.width, row.index);
        CHECK(band.nominal_hz == relative(row.nominal).epsilon(1e-12));
        CHECK(band.exact_hz == relative(row.exact).epsilon(1e-8));
        CHECK(band.lower_hz == relative(row.lower).epsilon(1e-7));
        CHECK(band.upper_hz == relative(row.upper).epsilon(1e-7));
    }
}

TEST_CASE("a range names every band whose label lies in it, lowest first") {
    const auto bands = bands_between(BandWidth::third, 20, 10000);
    REQUIRE(bands.size() == 28);
    CHECK(bands.front().nominal_hz == 20);
    CHECK(bands.back().nominal_hz == 10000);
    CHECK(bands_between(BandWidth::octave, 63, 8000).size() == 8);
    CHECK(bands_between(BandWidth::third, 64, 70).empty());
}

TEST_CASE("bands outside the table do not exist") {
    CHECK_THROWS_AS(band_at(BandWidth::third, -21), std::out_of_range);
    CHECK_THROWS_AS(band_at(BandWidth::octave, 5), std::out_of_range);
}

TEST_CASE("labels are those of the trade") {
    CHECK(label(band_at(BandWidth::third, -15)) == "31.5");
    CHECK(label(band_at(BandWidth::third, 5)) == "3.15k");
    CHECK(label(band_at(BandWidth::octave, 0)) == "1k");
}
