// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/visit.hpp"
#include "relative.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a new protocol holds the date and asks for everything else") {
    const VisitProtocol protocol = visit_protocol(visit_template("2026-11-25"), "visit.toml");
    CHECK(protocol.date == "2026-11-25");
    CHECK(blank_items(protocol).size() == 14);
}

TEST_CASE("a filled protocol is read, and nothing is asked for") {
    const VisitProtocol protocol = visit_protocol(sample::filled_protocol("2026-11-26"), "visit.toml");
    CHECK(blank_items(protocol).empty());
    CHECK(*protocol.temperature_start_c == 21);
    CHECK(*protocol.temperature_end_c == relative(21.5));
    CHECK(*protocol.humidity_end_percent == 46);
    CHECK(*protocol.equaliser_off);
    CHECK(*protocol.persons == 1);
    CHECK(protocol.doors == "closed");
    const std::string once = canonical_toml(protocol);
    CHECK(canonical_toml(visit_protocol(once, "visit.toml")) == once);
}

TEST_CASE("the traps that stood in the room are kept by name, and where none are named nothing is written") {
    const auto protocol = visit_protocol(
        "[visit]\ndate = 2026-11-25\n[room]\ntraps = [\"rear wall\", \"corner\"]\n", "visit.toml");
    CHECK(protocol.traps == std::vector<std::string>{"rear wall", "corner"});
    CHECK(visit_protocol(canonical_toml(protocol), "visit.toml").traps == protocol.traps);
    CHECK(!contains(canonical_toml(VisitProtocol{}), "traps"));
}

TEST_CASE("the state of each patch is asked for by name, kept, and only of patches that the room has") {
    const std::vector<RoomPatch> patches = {{"door", RoomPatch::Kind::door, {}},
                                            {"front = window", RoomPatch::Kind::window, {}}};
    const std::string blank = visit_template("2026-11-25", patches);
    const auto fresh = visit_protocol(blank, "visit.toml", patches);
    CHECK(fresh.patches.empty());
    CHECK(blank_items(fresh, patches).size() == 16);
    CHECK(blank_items(fresh, patches).back() == "room.patches.front = window");
    // What is blank changes no digest.
    CHECK(canonical_toml(fresh) ==
          canonical_toml(visit_protocol(visit_template("2026-11-25"), "visit.toml")));
    const std::string given = "[visit]\ndate = 2026-11-25\n[room]\n"
                              "patches = { door = \"closed\", \"front = window\" = \"ajar\" }\n";
    const auto filled = visit_protocol(given, "visit.toml", patches);
    CHECK(filled.patches ==
          std::map<std::string, std::string>{{"door", "closed"}, {"front = window", "ajar"}});
    CHECK(visit_protocol(canonical_toml(filled), "visit.toml").patches == filled.patches);
    const std::string why = refusal([&] {
        visit_protocol(given, "visit.toml", {patches.begin(), patches.begin() + 1});
    });
    CHECK(contains(why, "visit.toml, line 4, column "));
    CHECK(contains(why, "is no [[room.patch]] of job.toml"));
    CHECK(contains(refusal([&] {
                       visit_protocol("[visit]\ndate = 2026-11-25\n[room.patches]\ndoor = 1\n", "visit.toml");
                   }),
                   "a text in double quotes"));
}

TEST_CASE("a wrong protocol is refused with place and mend") {
    const auto read = [](std::string_view text) {
        return refusal([&] { visit_protocol(text, "visit.toml"); });
    };
    CHECK(contains(read("[air]\n"), "visit is missing"));
    CHECK(contains(read("[visit]\ndate = \"25.11.2026\"\n"), "line 2, column 8: visit.date"));
    CHECK(contains(read("[visit]\ndate = 2026-11-25\n[air]\ntemperature_start = \"210 °C\"\n"),
                   "line 4, column 21: air.temperature_start = \"210 °C\": must be from -10 to 45 °C"));
    CHECK(contains(read("[visit]\ndate = 2026-11-25\n[room]\ndoor = \"open\"\n"), "did you mean doors?"));
    CHECK(
        contains(read("[visit]\ndate = 2026-11-25\n[room]\npersons = -1\n"), "whole number from 0 to 1000"));
}
