// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "verdict/prediction.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using namespace ebbmark;

namespace {

std::string refusal(std::string_view text) {
    try {
        parse_prediction(text, "p.csv");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::unusable);
        return error.what();
    }
    return "accepted";
}

AgainstPrediction verdict(double measured, double half, double predicted, double predicted_half) {
    return against_prediction({measured, half, predicted, predicted_half});
}

} // namespace

TEST_CASE("a prediction is read by its heading, other columns and comments left out") {
    const auto read =
        parse_prediction("# invented\nmethod,nominal_hz,predicted_s,predicted_low_s,predicted_high_s\n"
                         "modal,63,0.58,0.49,0.69\n\nmodal,160,0.4,,\r\n",
                         "p.csv");
    REQUIRE(read.bands.size() == 2);
    CHECK(read.bands[0].decay_s == Measured{0.58, 0.49, 0.69, {}});
    CHECK(!read.bands[1].decay_s.low);
    CHECK(read.at(band_at(BandWidth::third, -12)) == &read.bands[0]);
    CHECK(read.at(band_at(BandWidth::third, -11)) == nullptr);
}

TEST_CASE("a spreadsheet's mark, semicolons and an area instead of a decay are understood") {
    const auto read = parse_prediction("\xEF\xBB\xBFnominal_hz;added_absorption_m2\n31.5;2.25\n", "p.csv");
    CHECK(read.bands[0].area_m2 == Measured::of(2.25));
    CHECK(!read.bands[0].decay_s);
}

TEST_CASE("what cannot be read is refused with file, line and mend") {
    CHECK(refusal("").find("no band") != std::string::npos);
    CHECK(refusal("hz,t\n63,1\n").find("p.csv, line 1: the heading needs the columns nominal_hz") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63,0.5 s\n").find("p.csv, line 2: \"0.5 s\"") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63\n").find("1 fields, but the heading has 2") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63,0.5\n63,0.6\n").find("line 3: 63 Hz stands there twice") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63,-0.5\n").find("above 0 s") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s,u_wool\n63,0.5,0.1\n").find("line 2: u_before, u_wool") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s,u_before,u_wool,u_model\n63,0.5,0.1,30,0.1\n")
              .find("line 2: 30 in column u_wool") != std::string::npos);
    CHECK(refusal("nominal_hz,mode_hz,predicted_s\n63,42,0.5\n").find("of a band or of a mode") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,mode_hz,predicted_s\n63,,0.5\n,42,\n").find("line 3: a mode needs") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,mode_hz,predicted_s\n63,,0.5\n,42,0.5\n,42,0.6\n")
              .find("line 4: the mode at 42 Hz") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63,nan\n").find("not a number") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s,predicted_low_s,predicted_high_s\n63,0.5,0.6,0.7\n")
              .find("between") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n63,1e308\n")
              .find("1e+308 in column predicted_s lies outside 0.001 to 1000") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s,predicted_low_s,predicted_high_s\n63,1,1e-308,1e308\n")
              .find("1e-308 in column") != std::string::npos);
    CHECK(refusal("nominal_hz,added_absorption_m2\n63,-1e308\n").find("lies outside -1e+06 to 1e+06") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,mode_hz,predicted_s\n63,,0.5\n,1e308,0.5\n").find("in column mode_hz") !=
          std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n1e308,1\n").find("10 Hz to 20 kHz") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n110,0.5\n")
              .find("no octave or third-octave band; the nearest is 100") != std::string::npos);
    CHECK(refusal("nominal_hz,predicted_s\n0,0.5\n").find("10 Hz to 20 kHz") != std::string::npos);
    CHECK(refusal("nominal_hz,width,predicted_s\n125,wide,0.5\n").find("octave or third") !=
          std::string::npos);
    CHECK(
        refusal("nominal_hz,predicted_s,predicted_low_s,predicted_high_s\n63,0.5,0.4,\n").find("together") !=
        std::string::npos);
}

TEST_CASE("a table of octaves is not held against third octaves") {
    const Band third = band_at(BandWidth::third, -9), octave = band_at(BandWidth::octave, -3);
    const auto octaves = parse_prediction("nominal_hz,predicted_s\n125,0.5\n250,0.4\n", "p.csv");
    CHECK(octaves.at(third) == nullptr);
    CHECK(octaves.at(octave) == &octaves.bands[0]);
    const auto thirds = parse_prediction("nominal_hz,predicted_s\n125,0.5\n160,0.4\n", "p.csv");
    CHECK(thirds.at(third) == &thirds.bands[0]);
    CHECK(thirds.at(octave) == nullptr);
    const auto one = parse_prediction("nominal_hz,predicted_s\n125,0.5\n", "p.csv");
    CHECK(one.at(third) == one.at(octave));
    const auto said =
        parse_prediction("nominal_hz,width,predicted_s\n125,third,0.5\n125,octave,0.6\n", "p.csv");
    CHECK(said.at(octave) == &said.bands[1]);
}

TEST_CASE("the normalised error divides the difference by the combined uncertainty") {
    // Source: closed form. 0.5/sqrt(0.3² + 0.4²) = 1.
    CHECK(normalised_error({-0.5, 0.3, -1.0, 0.4}) == doctest::Approx(1));
    CHECK(normalised_error({-0.5, 0, -0.5, 0}) == 0);
}

TEST_CASE("less, more, as predicted, and cannot tell where no change would also do") {
    CHECK(verdict(-0.50, 0.1, -0.55, 0.1) == AgainstPrediction::as_predicted);
    CHECK(verdict(-0.20, 0.1, -0.55, 0.1) == AgainstPrediction::less_than_predicted);
    CHECK(verdict(-0.90, 0.1, -0.55, 0.1) == AgainstPrediction::more_than_predicted);
    CHECK(verdict(-0.05, 0.2, -0.10, 0.1) == AgainstPrediction::cannot_tell);
    // A predicted lengthening counts the other way round.
    CHECK(verdict(0.1, 0.05, 0.5, 0.05) == AgainstPrediction::less_than_predicted);
}

TEST_CASE("an area added gives the decay that ISO 354 turns back into it") {
    // Source: closed form, ISO 354 at 20 °C: 50 m³, 0.8 s, 4.5802 m² give 0.55 s.
    CHECK(*decay_with_area_s(50, 0.8, 4.5802, 20) == doctest::Approx(0.55).epsilon(1e-4));
    CHECK(*decay_with_area_s(50, 0.8, 0, 20) == doctest::Approx(0.8));
    CHECK(!decay_with_area_s(50, 0.8, -100, 20));
}
