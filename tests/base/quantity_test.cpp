// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "base/quantity.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace ebbmark;

TEST_CASE("lengths in metric and imperial spelling") {
    // Source: closed form. One inch is 25.4 mm, one foot 12 inches, exactly (1959 agreement).
    struct Row {
        const char* text;
        double metres;
    };
    const Row rows[] = {
        {"0.61 m", 0.61},     {"61 cm", 0.61},       {"24 in", 0.6096},         {"5 5/8 in", 0.142875},
        {"5/8 in", 0.015875}, {"9 ft 4 in", 2.8448}, {"9 ft 4 1/2 in", 2.8575}, {"9' 4\"", 2.8448},
        {"2,5 m", 2.5},       {"30mm", 0.03},        {"-2 cm", -0.02},          {"3.2", 3.2}};
    for (const Row& row : rows) {
        CAPTURE(row.text);
        CHECK(parse_quantity(row.text, Dimension::length) == relative(row.metres).epsilon(1e-12));
    }
}

TEST_CASE("other quantities") {
    CHECK(parse_quantity("21 °C", Dimension::temperature) == relative(21));
    CHECK(parse_quantity("69.8 °F", Dimension::temperature) == relative(21));
    CHECK(parse_quantity("294.15 K", Dimension::temperature) == relative(21));
    CHECK(parse_quantity("45 %", Dimension::percent) == relative(45));
    CHECK(parse_quantity("5 kPa.s/m2", Dimension::flow_resistivity) == relative(5000));
    CHECK(parse_quantity("150 Pa.s/m", Dimension::flow_resistance) == relative(150));
    CHECK(parse_quantity("2 lb/ft3", Dimension::density) == relative(32.0369));
    CHECK(parse_quantity("35 m3", Dimension::volume) == relative(35));
    CHECK(parse_quantity("1 ft3", Dimension::volume) == relative(0.028316846592));
    CHECK(parse_quantity("0.04 kHz", Dimension::frequency) == relative(40));
}

TEST_CASE("what is not a quantity is refused with the text and the units") {
    for (const char* text :
         {"", "m", "12 parsec", "1.2.3 m", "5 m wide", "5 / 0 in", "nan", "inf m", "9 in 4 ft", "--3 m"}) {
        CAPTURE(text);
        try {
            parse_quantity(text, Dimension::length);
            FAIL("accepted");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::unusable);
            CHECK(std::string(error.what()).find(text) != std::string::npos);
            CHECK(std::string(error.what()).find("cm") != std::string::npos);
        }
    }
}

TEST_CASE("a room is three lengths above zero") {
    const auto room = parse_box("4.1 x 3.3 x 2.6 m");
    CHECK(room[0] == relative(4.1));
    CHECK(room[2] == relative(2.6));
    CHECK(parse_box("13 ft 5 in x 10 ft 10 in × 8 ft 6 in")[2] == relative(2.5908));
    CHECK(parse_box("410x330x260 cm")[1] == relative(3.3));
    for (const char* text : {"4.1 x 3.3 m", "4.1 x 0 x 2 m", "4.1 x -1 x 2 m", "big"})
        CHECK_THROWS_AS(parse_box(text), Error);
}
