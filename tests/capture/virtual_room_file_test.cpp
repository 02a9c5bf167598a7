// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/device.hpp"
#include "capture/virtual_room_file.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace ebbmark;

namespace {

const std::string good = R"(title = "small"
seed = 3
[room]
length = "9 ft 4 in"
width = "2.5 m"
height = "240 cm"
[[surface]]
name = "panel"
alpha = [0.3, 0.2, 0.1, 0.1, 0.1, 0.1]
[walls]
front = "panel"
rear = "gypsum board"
left = "gypsum board"
right = "gypsum board"
floor = "wood floor"
ceiling = "gypsum board"
[[source]]
id = "S1"
at = [0.5, 0.5, 1]
[[microphone]]
id = "M1"
at = ["2 m", "1.5 m", "1.2 m"]
[[trap]]
name = "rear wall"
face_width = "1 m"
face_height = "1 m"
wall = "rear"
[[trap.layer]]
material = "wool"
thickness = "10 cm"
flow_resistivity = "8 kPa.s/m2"
[[visit]]
name = "before"
temperature = "68 °F"
)";

std::string with(const std::string& old_text, const std::string& new_text) {
    std::string text = good;
    const auto place = text.find(old_text);
    REQUIRE(place != text.npos);
    return text.replace(place, old_text.size(), new_text);
}

std::string refusal(const std::string& text) {
    try {
        room_description(text, "ROOM.toml");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::unusable);
        return error.what();
    }
    return "accepted";
}

} // namespace

TEST_CASE("a room is read in the units in which it is written") {
    const RoomDescription room = room_description(good, "ROOM.toml");
    CHECK(room.box().edges_m[0] == relative(112 * 0.0254));
    CHECK(room.box().edges_m[2] == relative(2.4));
    CHECK(room.walls[0][0] == 0.3);
    CHECK(room.walls[5][0] == 0.29);
    CHECK(room.visits[0].celsius == relative(20));
    CHECK(room.traps.size() == 1);
    CHECK_FALSE(room.visits[0].traps);
}

TEST_CASE("what is wrong is refused with file, line, key and mend") {
    struct Case {
        std::string text, expected;
    };
    const Case cases[] = {
        {good + "[loudspeakr]\nlowest = 40\n", "loudspeakr"},
        {good + "[noise]\nlevle = \"20 dB\"\n", "levle"},
        {with("width = \"2.5 m\"", "width = \"-2.5 m\""), "room.width"},
        {with("width = \"2.5 m\"", "width = \"2.5 kg\""), "room.width"},
        {with("height = \"240 cm\"\n", ""), "height"},
        {with("length = \"9 ft 4 in\"\nwidth = \"2.5 m\"\nheight = \"240 cm\"",
              "volume = \"30 m3\"\nsurface = \"60 m2\""),
         "is a box"},
        {with("front = \"panel\"", "front = \"marble\""), "gypsum board"},
        {with("front = \"panel\"\n", ""), "front"},
        {with("[0.3, 0.2, 0.1, 0.1, 0.1, 0.1]", "[0.3, 0.2]"), "six numbers"},
        {with("[0.3, 0.2, 0.1, 0.1, 0.1, 0.1]", "[1.3, 0.2, 0.1, 0.1, 0.1, 0.1]"), "surface"},
        {with("flow_resistivity = \"8 kPa.s/m2\"\n", ""), "needs flow_resistivity"},
        {with("at = [0.5, 0.5, 1]", "at = [0.5, 5.5, 1]"), "source"},
        {with("face_height = \"1 m\"", "face_height = \"3 m\""), "rear wall"},
        {good + "[[trap]]\nname = \"second\"\nface_width = 1\nface_height = 1\nwall = \"rear\"\nalong = 0.5\n"
                "[[trap.layer]]\nmaterial = \"air\"\nthickness = 0.1\n",
         "overlaps trap \"rear wall\""},
        {with("[[visit]]\nname = \"before\"\ntemperature = \"68 °F\"\n", ""), "visit"},
        {good + "[recorder]\nbits = 4\n", "bits"},
        {"title = \n", "line 1"}};
    for (const Case& wrong : cases) {
        const std::string text = refusal(wrong.text);
        INFO(text);
        CHECK(text.find("ROOM.toml") != text.npos);
        CHECK(text.find(wrong.expected) != text.npos);
    }
}

TEST_CASE("the demo room opens as a device") {
    const auto device = open_device({"virtual:data/demo-room.toml", ""});
    CHECK(device->simulated());
    CHECK(device->rate_hz() == 48000);
    CHECK_THROWS_AS(open_device({"virtual:data/no-such-room.toml", ""}), Error);
}
