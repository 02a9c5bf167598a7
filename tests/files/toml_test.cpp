// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/toml.hpp"
#include "folder.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

TomlTable parsed(std::string_view text) {
    return TomlFile::parse(text, "a.toml").root();
}

} // namespace

TEST_CASE("values of every kind are read") {
    const TomlTable t = parsed("name = \"x\"\nopen = true\nn = 2.5\nk = 3\nlength = \"61 cm\"\nbare = 2\n"
                               "day = 2024-02-29\nquoted = \"2026-11-25\"\nlist = [\"1 m\", 2]\n"
                               "[t]\na = 1\n[[many]]\nb = 1\n[[many]]\nb = 2\n");
    CHECK(t.need("name").text() == "x");
    CHECK(t.need("name").choice({"y", "x"}) == "x");
    CHECK(t.need("open").flag());
    CHECK(t.need("n").number() == 2.5);
    CHECK(t.need("k").number() == 3);
    CHECK(t.need("k").whole(1, 3) == 3);
    CHECK(t.need("length").quantity(Dimension::length) == relative(0.61));
    CHECK(t.need("bare").quantity(Dimension::length) == 2);
    CHECK(t.need("day").date() == "2024-02-29");
    CHECK(t.need("quoted").date() == "2026-11-25");
    const auto list = t.need("list").list();
    REQUIRE(list.size() == 2);
    CHECK(list[1].quantity(Dimension::length) == 2);
    CHECK(t.need("t").table().need("a").number() == 1);
    REQUIRE(t.tables("many").size() == 2);
    CHECK(t.tables("many")[1].need("b").number() == 2);
    CHECK(t.tables("none").empty());
    CHECK_FALSE(t.find("none"));
    CHECK(t.text_or("none", "else") == "else");
    CHECK(t.number_or("none", 7) == 7);
    CHECK_FALSE(t.quantity_if("none", Dimension::length));
}

TEST_CASE("a wrong value is refused with file, line, column, key, value and mend") {
    const auto read = [](std::string_view text, auto&& get) {
        return refusal([&] { get(parsed(text).need("x")); });
    };
    const auto length = [](const TomlValue& v) { v.quantity(Dimension::length, {0.5, 100}); };
    CHECK(read("\nx = \"-2 cm\"", length) ==
          "a.toml, line 2, column 5: x = \"-2 cm\": must be from 0.5 to 100 m");
    CHECK(contains(read("x = \"2 kg\"", length),
                   "x = \"2 kg\": \"2 kg\" is not understood; write a number with"));
    CHECK(contains(read("x = true", length), "x = true: must be a number with its unit in double quotes"));
    CHECK(contains(read("x = nan", length), "must be a finite number"));
    CHECK(contains(read("x = 3", [](const TomlValue& v) { v.text(); }),
                   "x = 3: must be a text in double quotes"));
    CHECK(contains(read("x = 1", [](const TomlValue& v) { v.flag(); }), "must be true or false"));
    CHECK(contains(read("x = \"1\"", [](const TomlValue& v) { v.number(); }), "without quotes"));
    CHECK(contains(read("x = 41.8", [](const TomlValue& v) { v.list(); }), "x = 41.8: must be a list"));
    CHECK(contains(read("x = 0.5", [](const TomlValue& v) { v.number({1}); }), "must be at least 1"));
    CHECK(contains(read("x = 1.5", [](const TomlValue& v) { v.whole(0, 9); }), "whole number from 0 to 9"));
    CHECK(contains(read("x = 99999999999", [](const TomlValue& v) { v.whole(0, 9); }), "whole number"));
    CHECK(
        contains(read("x = \"2026-02-30\"", [](const TomlValue& v) { v.date(); }), "no day of the calendar"));
    CHECK(contains(read("x = \"tomorrow\"", [](const TomlValue& v) { v.date(); }), "date such as"));
    CHECK(contains(read("x = 1", [](const TomlValue& v) { v.list(); }), "list in square brackets"));
    CHECK(contains(read("x = 1", [](const TomlValue& v) { v.table(); }), "write [x]"));
    CHECK(contains(read("[x]", [](const TomlValue& v) { v.tables(); }), "write [[x]]"));
    CHECK(contains(read("[[x]]", [](const TomlValue& v) { v.table(); }), "once, as [x]"));
    const auto wall = [](const TomlValue& v) { v.choice({"front", "rear"}); };
    CHECK(contains(read("x = \"raer\"", wall), "did you mean \"rear\"?"));
    CHECK(contains(read("x = \"east\"", wall), "write one of: front, rear"));
}

TEST_CASE("a missing key is named with its table, and a similar one with its line") {
    CHECK(refusal([] { parsed("[room]\nwidth = 1").need("room").table().need("length"); }) ==
          "a.toml, line 1, column 1: room.length is missing; add it");
    CHECK(refusal([] { parsed("[room]\n\nlenght = 1").need("room").table().need("length"); }) ==
          "a.toml, line 3, column 1: room.lenght is not known; did you mean length?");
}

TEST_CASE("keys that nobody asked for are refused at any depth") {
    const auto read = [](std::string_view text) {
        return refusal([&] {
            const TomlFile file = TomlFile::parse(text, "a.toml");
            file.root().find("title");
            for (const TomlTable& trap : file.root().tables("trap"))
                trap.find("wall");
            file.refuse_unknown_keys();
        });
    };
    CHECK(read("title = 1\n[[trap]]\nwall = 1") == "no error");
    CHECK(read("titel = 1") == "a.toml, line 1, column 1: titel is not known; did you mean title?");
    CHECK(read("[[trap]]\nwall = 1\n[[trap]]\nwall = 1\ncolour = 1") ==
          "a.toml, line 5, column 1: trap[2].colour is not known; known here: wall");
}

TEST_CASE("text that is not TOML is refused with its place") {
    const auto read = [](std::string_view text) { return refusal([&] { parsed(text); }); };
    CHECK(contains(read("a = 1\nb = 4.1 m\n"), "a.toml, line 2, column"));
    CHECK(contains(read("a = 1\nb = 4.1 m\n"), "stand in double quotes"));
    CHECK(contains(read("a = 1\na = 2\n"), "a.toml, line 2"));
    CHECK(contains(read("[t\n"), "a.toml, line 1"));
    CHECK(contains(read("a = \"\xff\""), "a.toml, line 1"));
    CHECK(contains(read(std::string("a = \0 1", 7)), "a.toml, line 1"));
    CHECK(contains(refusal([] { TomlFile::read("no-such-file.toml"); }), "does not exist"));
}

TEST_CASE("quoted text comes back unchanged") {
    std::string all;
    for (int c = 1; c < 128; ++c)
        all += static_cast<char>(c);
    for (const std::string& text :
         {all, std::string("Räume für 5 €, 🎻"), std::string("C:\\x \"y\""), std::string()})
        CHECK(parsed("a = " + toml_quoted(text)).need("a").text() == text);
    for (const char* broken : {"\xff", "\xc3", "\xc0\x80", "\xed\xa0\x80", "\xf5\x80\x80\x80", "a\xe2\x82"})
        CHECK(contains(refusal([&] { toml_quoted(broken); }), "is not UTF-8"));
}
