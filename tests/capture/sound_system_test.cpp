// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/sound_system.hpp"
#include "capture/time_limit.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

const std::vector<SoundDeviceInfo> devices = {
    {0, "ALSA", "Red interface", 2, 2, 48000, true, true},
    {1, "ALSA", "Red interface, second", 2, 0, 48000, false, false},
    {2, "ALSA", "Built-in", 0, 2, 44100, false, false},
    {3, "JACK", "room", 1, 1, 48000, false, false},
    {4, "OSS", "room", 1, 1, 48000, false, false},
};

int chosen(std::string_view asked, Direction direction = Direction::input) {
    return choose_device(devices, asked, direction).number;
}

} // namespace

TEST_CASE("a device is found by its number, its label, its name or a part that fits only it") {
    CHECK(chosen("1") == 1);
    CHECK(chosen("ALSA: Red interface") == 0);
    CHECK(chosen("Red interface") == 0); // its whole name, though a part of another
    CHECK(chosen("SECOND") == 1);
    CHECK(chosen("jack: room") == 3);
    CHECK(chosen("built", Direction::output) == 2);
}

TEST_CASE("a device that is not there, cannot do it or is one of several is refused with what there is") {
    CHECK_THROWS_WITH_AS(chosen("blue"), doctest::Contains("0 \"ALSA: Red interface\""), Error);
    CHECK_THROWS_WITH_AS(chosen("built"), doctest::Contains("for recording"), Error);
    CHECK_THROWS_WITH_AS(chosen("1", Direction::output), doctest::Contains("for playing"), Error);
    CHECK_THROWS_WITH_AS(chosen("room"), doctest::Contains("give the number"), Error);
    CHECK_THROWS_WITH_AS(chosen("9"), doctest::Contains("no sound device \"9\""), Error);
    CHECK_THROWS_AS(choose_device({}, "0", Direction::input), Error);
}

TEST_CASE("without any device the message says what to try") {
    const std::string text = no_devices_text({"ALSA", "OSS"});
    for (const char* part : {"ALSA, OSS", "/proc/asound/cards", "JACK", "--verbose", "ebbmark import"})
        CHECK(text.find(part) != std::string::npos);
}

TEST_CASE("a call that hangs is left behind after its time") {
    using Clock = std::chrono::steady_clock;
    const auto begin = Clock::now();
    CHECK(!finishes_in_time(0.05, [] { std::this_thread::sleep_for(std::chrono::milliseconds(400)); }));
    CHECK(Clock::now() - begin < std::chrono::milliseconds(350));
    CHECK(finishes_in_time(5, [] {}));
    std::this_thread::sleep_for(
        std::chrono::milliseconds(450)); // the one that hung ends before the test does
}
