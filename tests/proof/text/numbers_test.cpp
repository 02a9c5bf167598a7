// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/numbers.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("rounding keeps four significant digits and no negative zero") {
    CHECK(rounded(0.0123456) == 0.01235);
    CHECK(rounded(-1234.567) == -1235);
    CHECK(cell(-0.0) == "0");
    CHECK(cell(1234567.0, 7) == "1234567");
    CHECK(cell({}) == "");
}

TEST_CASE("times, changes and frequencies read as people write them") {
    CHECK(seconds_text(0.0341) == "0.034");
    CHECK(seconds_text(0.614) == "0.61");
    CHECK(seconds_text(12.34) == "12.3");
    CHECK(signed_percent_text(-42.9) == "-43");
    CHECK(signed_percent_text(3.14) == "+3.1");
    CHECK(signed_percent_text(-0.01) == "0.0");
    CHECK(signed_percent_text(9.96) == "+10");
    CHECK(frequency_text(1250) == "1.25\u00a0kHz");
    CHECK(with_minus_sign("-43") == "−43");
}

TEST_CASE("neighbouring bands are named as ranges") {
    const auto all = bands_between(BandWidth::third, 50, 2000);
    CHECK(bands_text({all[0], all[1], all[2], all[4]}, all) == "50 to 80\u00a0Hz and 125\u00a0Hz");
    CHECK(bands_text({all[12], all[13], all[14]}, all) == "800\u00a0Hz to 1.25\u00a0kHz");
    CHECK(bands_text({all[13], all[14]}, all) == "1 to 1.25\u00a0kHz");
    CHECK(bands_text({all[0], all[2], all[4]}, all) == "50\u00a0Hz, 80\u00a0Hz and 125\u00a0Hz");
    CHECK(bands_text({all[0], all[2], all[4], all[6]}, all) == "between 50\u00a0Hz and 200\u00a0Hz");
    CHECK(bands_text({}, all) == "");
}
