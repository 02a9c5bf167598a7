// SPDX-License-Identifier: GPL-3.0-or-later
// Texts that are no TOML. Built twice: with the other tests of files, and as toml_strict_test with the
// library's own assertions and the sanitizer of undefined behaviour on, where one wrong step ends the
// program.
#include "files/toml.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

#include <array>
#include <random>

using namespace ebbmark;

namespace {

std::string refused(std::string_view text) {
    return refusal([&] { TomlFile::parse(text, "a.toml"); });
}

std::string repeated(std::string_view part, int times) {
    std::string text;
    for (int i = 0; i < times; ++i)
        text += part;
    return text;
}

} // namespace

TEST_CASE("a text that is no TOML is refused with its place, never taken further") {
    CHECK(contains(refused("["), "a.toml, line 1, column 1: is not valid TOML: a name must follow"));
    CHECK(contains(refused("a = 1\n [+]\n"), "line 2, column 2: is not valid TOML: a name must follow"));
    CHECK(
        contains(refused("x = 21 °C\n"), "line 1, column 8: is not valid TOML: \"°\" stands outside quotes"));
    CHECK(
        contains(refused("x = °"), "outside quotes; texts, and numbers with a unit, stand in double quotes"));
    CHECK(contains(refused("größe = 1"), "line 1, column 3"));
    CHECK(contains(refused(std::string("a = 1\n\0", 7)), "line 2, column 1: is not valid TOML: byte 0x00"));
    CHECK(contains(refused(std::string("a = \"\0\"", 7)), "byte 0x00 is no text"));
    CHECK(contains(refused("a = \"\xE9\""), "byte 0xe9 is not UTF-8 text; save the file in UTF-8"));
    CHECK(contains(refused("a = [1,\n"), "line 1, column 5: is not valid TOML: this bracket is not closed"));
    CHECK(contains(refused("a = " + repeated("[", 40) + repeated("]", 40)), "more than 32 brackets"));
    CHECK(contains(refused("a = " + repeated("[", 1000000)), "more than 32 brackets"));
    CHECK(contains(refused("a" + repeated(".a", 1000000) + " = 1"), "more than 32 names"));
    CHECK(contains(refused("a = \"open\nb = °"), "is not valid TOML"));
}

TEST_CASE("what TOML allows is read") {
    // Source: TOML v1.0.0, sections Comment, Keys, String, Array, Inline Table.
    CHECK(refused("") == "no error");
    CHECK(refused("\xEF\xBB\xBF# °C\r\n") == "no error");
    CHECK(refused("a = \"21 °C # [\" # \"° [\n[ b ] # [\n\"°\" = 1\n'°°' = 2\n") == "no error");
    CHECK(refused("a = '\\'\nb = \"\\\"°\"\nc = ['[', \"]\"]\n") == "no error");
    CHECK(refused("a = \"\"\"\n° [ \"\" \\\" \"\"\"\"\"\nb = '''°''['''''\n") == "no error");
    CHECK(refused("a = \"\"\nb = ''\nc = \"\"\"\"\"\"\nd = {e = [[1.5, 2.5], [-1e-3]], f.g = 1}\n") ==
          "no error");
    CHECK(refused("[[a]]\nb = [ # °\n[1],\n  [2] ]\n[[a]]\n[ \"a b\" . c ]\n") == "no error");
    CHECK(refused("a = [" + repeated("0.125, ", 1000) + "]\n") == "no error");
}

TEST_CASE("random scraps of TOML are read or refused") {
    constexpr std::array<std::string_view, 56> scraps = {
        "[",     "]",    "{",       "}",           "\"",    "'",         "\"\"\"",     "'''",
        "=",     ",",    ".",       "\n",          "\r\n",  "#",         " ",          "\t",
        "a",     "x = ", "0",       "1",           "-",     "+",         "e",          "_",
        "nan",   "inf",  "true",    "0x",          "0b",    "0o",        "Z",          "\\",
        "\\x",   "[[",   "]]",      "1e308",       "1e999", "T07:32:00", "1979-05-27", "12:00",
        "a.b.c", "\r",   "[a]",     "[[b]]",       "{a=1}", "[1,2]",     "\"\\",       "1.",
        "1_",    "07",   "\\u0041", "\\U0010FFFF", "°",     "21 °C",     "\x7F",       "\xFF"};
    std::mt19937_64 random(11);
    int accepted = 0;
    for (int i = 0; i < 30000; ++i) {
        std::string text;
        for (std::uint64_t n = random() % 14; n > 0; --n) {
            text += scraps[random() % scraps.size()];
            if (random() % 50 == 0)
                text += static_cast<char>(random());
        }
        CAPTURE(text);
        const std::string said = refused(text);
        accepted += said == "no error";
        REQUIRE((said == "no error" || contains(said, "a.toml, line ")));
    }
    CHECK(accepted > 1000);
}
