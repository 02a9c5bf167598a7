// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "files/calibration.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace ebbmark;

namespace {

std::string refusal(const std::string& text) {
    try {
        microphone_curve(text, "m.txt");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::unusable);
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("a response curve reads the same in every spelling") {
    for (const char* text : {
             "20 -1.5\n100 0.25\n1000 0\n10000 2.5\n",
             "\xEF\xBB\xBF* a comment, 2026-11-25\r\n20\t-1.5\r\n100\t0.25\r\n1000\t0\r\n10000\t2.5",
             "\"Hz\" dB\n20,-1.5\n100,0.25\n1000,0\n10000,2.5\n",
             "# komma\n20 -1,5\n100 0,25\n1000 0\n10000 2,5\n",
             "; semicolons\n20;-1,5\n100;0,25\n1000;+0\n10000;2,5\n",
             "Hz dB phase\n20 -1.5 10\n100, 0.25, 5\n1e3 0.0 0\n10000 2.5 -8\r",
         }) {
        CAPTURE(text);
        const auto curve = microphone_curve(text, "m.txt");
        REQUIRE(curve.points.size() == 4);
        CHECK(curve.points[0].hz == 20);
        CHECK(curve.points[0].db == -1.5);
        CHECK(curve.points[1].db == 0.25);
        CHECK(curve.points[3].hz == 10000);
        CHECK(curve.points[3].db == 2.5);
    }
    CHECK(microphone_curve("# of 2025-03-01\n20 0\n30 1\n", "m").date == "2025-03-01");
    CHECK(microphone_curve("20 0 -90\n30 1 4\n", "m").points[0].phase_deg == -90);
    // Source: published, FIPS 180-4 through any sha256sum of the same bytes.
    CHECK(microphone_curve("20 0\n30 1\n", "m").sha256 ==
          "d7a6a816025676bc0964f08ea736f4833c34087259697d5c6bedda1f5d5cf377");
}

TEST_CASE("between points the curve is straight over the logarithm of frequency, beyond them it holds") {
    const auto curve = microphone_curve("100 0\n1000 6\n", "m");
    CHECK(curve.response_db(316.22777) == doctest::Approx(3).epsilon(1e-6));
    CHECK(curve.response_db(10) == 0);
    CHECK(curve.response_db(1e5) == 6);
    CHECK(curve.covers(100));
    CHECK_FALSE(curve.covers(99));
}

TEST_CASE("a file that is no curve is refused with its line and the mend") {
    CHECK(refusal("20 0\n30 1\n25 2\n").find("line 3") != std::string::npos);
    CHECK(refusal("20 0\n30 1\n25 2\n").find("sort") != std::string::npos);
    CHECK(refusal("20 0\nfoo bar\n").find("line 2") != std::string::npos);
    CHECK(refusal("20\n30\n").find("1 numbers") != std::string::npos);
    CHECK(refusal("20 0 0 0\n30 1\n") != "");
    CHECK(refusal("0 0\n30 1\n").find("above 0") != std::string::npos);
    CHECK(refusal("20 nan\n30 1\n") != "");
    CHECK(refusal("20 0\n30 inf\n") != "");
    CHECK(refusal("20 500\n30 1\n") != "");
    CHECK(refusal("").find("at least two") != std::string::npos);
    CHECK(refusal("# only words\n") != "");
    CHECK(refusal("20,0,1,5\n30,0,1,5\n") != ""); // commas for both: nobody can tell
}
