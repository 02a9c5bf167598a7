// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "job/names.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a position is a source and a microphone") {
    CHECK(parse_position("S1-M1") == Position{"S1", "M1"});
    CHECK(parse_position("S12-M99").name() == "S12-M99");
}

TEST_CASE("nothing else is a position, least of all a path") {
    for (const char* text : {"", "S1", "M1-S1", "S1-M0", "S01-M1", "S100-M1", "S1-M1-M2", "s1-m1", "S1-M1/..",
                             "../../x", "/S1-M1", "S1-M1\n", "S1 - M1", "S1-M1\xff"}) {
        CAPTURE(text);
        CHECK(
            contains(refusal([&] { parse_position(text); }), "is no position; write source and microphone"));
    }
}

TEST_CASE("a visit's name is one plain word") {
    for (const char* name : {"before", "after", "after-2", "before_2", "A1"})
        CHECK_NOTHROW(check_visit_name(name));
    for (const char* name : {"", ".", "..", "../x", "a/b", "a\\b", "1st", "-x", "a b", "nachhër", ".hidden",
                             "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"}) {
        CAPTURE(name);
        CHECK(contains(refusal([&] { check_visit_name(name); }), "cannot name a visit"));
    }
}

TEST_CASE("a file name has no folder in it") {
    CHECK_NOTHROW(check_file_name("m2 rear.jpg"));
    for (const char* name : {"", "..", "a/b", "../b", "a\\b", ".x", "a\nb"})
        CHECK(contains(refusal([&] { check_file_name(name); }), "is no plain file name"));
}
