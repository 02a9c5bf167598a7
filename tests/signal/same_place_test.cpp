// SPDX-License-Identifier: GPL-3.0-or-later
// Source: measured rooms of which it is known what stood where (data/measured/README.md).
#include "files/audio_file.hpp"
#include "signal/same_place.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <string>

using namespace ebbmark;

namespace {

const std::filesystem::path rooms = "data/measured", more_rooms = "../shared/data";

std::vector<Signal> responses_in(const std::filesystem::path& folder, const std::string& beginning = "") {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.path().extension() == ".wav" && entry.path().filename().string().starts_with(beginning))
            names.push_back(entry.path().string());
    std::sort(names.begin(), names.end());
    std::vector<Signal> responses;
    for (const std::string& name : names)
        responses.push_back(read_audio(name).channel(1));
    return responses;
}

} // namespace

TEST_CASE("repeats over 40 minutes are one place") {
    CHECK(places_of(responses_in(rooms / "repeats")).size() == 1);
    CHECK(places_of(responses_in(rooms / "variable-room", "before")).size() == 1);
    CHECK(places_of(responses_in(rooms / "variable-room", "after")).size() == 1);
}

TEST_CASE("other places, and places 5 cm apart, are not one place") {
    CHECK(places_of(responses_in(rooms / "listening-room")).size() == 15);
    CHECK(places_of(responses_in(rooms / "panel-room", "100_")).size() == 12);
}

TEST_CASE("one place in two states of its walls is not one place") {
    CHECK(places_of(responses_in(rooms / "variable-room")) ==
          std::vector<std::vector<std::size_t>>{{0, 1}, {2, 3}});
}

TEST_CASE("whole measured series are told apart") {
    if (!std::filesystem::exists(more_rooms)) {
        MESSAGE("left out: no " << more_rooms.string());
        return;
    }
    CHECK(places_of(responses_in(more_rooms / "repeats-one-position")).size() == 1);
    CHECK(places_of(responses_in(more_rooms / "listening-room-otala")).size() == 20);
    CHECK(places_of(responses_in(more_rooms / "degenerate-box-computed")).size() == 30);
    for (const char* state : {"000", "100"})
        CHECK(places_of(responses_in(more_rooms / "panel-room-34-positions" / "ir", state)).size() == 68);
}

TEST_CASE("noise 60 dB under a response's peak leaves it one place, another gain and delay too") {
    // Source: property.
    const Signal clean = read_audio(rooms / "listening-room" / "mic1_speaker1.wav").channel(1);
    const double peak = *std::max_element(clean.samples.begin(), clean.samples.end());
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0, peak * 1e-3);
    Signal again = clean;
    again.samples.insert(again.samples.begin(), 333, 0.0);
    for (double& sample : again.samples)
        sample = 0.3 * (sample + noise(random));
    const auto likeness = place_likeness(clean, again);
    REQUIRE(likeness);
    CHECK(likeness->least > 0.99);
    CHECK(is_one_place(likeness));
}

TEST_CASE("responses at different rates, and silence, are no one place") {
    Signal a = read_audio(rooms / "listening-room" / "mic1_speaker1.wav").channel(1), b = a;
    b.rate_hz = 44100;
    CHECK_FALSE(place_likeness(a, b));
    b.rate_hz = a.rate_hz;
    b.samples.assign(b.size(), 0);
    CHECK_FALSE(place_likeness(a, b));
    CHECK(places_of({a, b}).size() == 2);
}
