// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/level_search.hpp"
#include "capture/virtual_room.hpp"
#include "test_room.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

const Watch go_on = [](const Meter&) { return true; };

FoundLevel found_in(const RoomDescription& description, const LevelOptions& options = {}) {
    VirtualRoom room(description, "virtual:test");
    room.set_up({"before", {0.5, 0.6, 1.1}, {2.1, 1.4, 1.2}, false, 1});
    return find_level(room, options, go_on);
}

RoomDescription noisy(double level_db) {
    RoomDescription room = test_room();
    room.noise.level_db = level_db;
    return room;
}

const LevelBand& band_at_hz(const FoundLevel& found, double nominal_hz) {
    return *std::find_if(found.bands.begin(), found.bands.end(),
                         [&](const LevelBand& band) { return band.band.nominal_hz == nominal_hz; });
}

} // namespace

TEST_CASE("a quiet room needs no more than the quietest sweep, a louder one more") {
    const FoundLevel quiet = found_in(noisy(-20)), loud = found_in(noisy(42));
    CHECK(quiet.end == LevelEnd::enough);
    CHECK(quiet.steps.size() == 1);
    CHECK(quiet.sweep->level_dbfs == -48);
    REQUIRE(loud.sweep);
    CHECK(loud.sweep->level_dbfs > quiet.sweep->level_dbfs + 10);
}

TEST_CASE("no step is above the limit, and what then lacks is made up by time") {
    LevelOptions options;
    options.limit_dbfs = -40;
    const FoundLevel found = found_in(noisy(45), options);
    CHECK(found.end == LevelEnd::limit);
    for (const LevelStep& step : found.steps)
        CHECK(step.level_dbfs <= -40);
    REQUIRE(found.sweep);
    CHECK(found.sweep->level_dbfs == -40);
    CHECK(whole_duration_s(*found.sweep) > 30);
}

TEST_CASE("a step that clips or distorts is not the one proposed") {
    RoomDescription room = noisy(62);
    room.recorder.full_scale_db = 82;
    const FoundLevel clipped = found_in(room);
    CHECK(clipped.end == LevelEnd::clipping);
    REQUIRE(clipped.sweep);
    CHECK(clipped.sweep->level_dbfs < clipped.steps.back().level_dbfs);

    RoomDescription distorting = noisy(45);
    distorting.loudspeaker.second_harmonic_percent = 400;
    const FoundLevel distorted = found_in(distorting);
    CHECK(distorted.end == LevelEnd::distortion);
    CHECK(distorted.sweep->level_dbfs < distorted.steps.back().level_dbfs);
}

TEST_CASE("the predicted decay range is what a take with the proposed sweep then has") {
    const RoomDescription description = noisy(35);
    const FoundLevel found = found_in(description);
    REQUIRE(found.sweep);
    VirtualRoom room(description, "virtual:test");
    room.set_up({"before", {0.5, 0.6, 1.1}, {2.1, 1.4, 1.2}, false, 7});
    LevelOptions options;
    options.first_dbfs = options.limit_dbfs = found.sweep->level_dbfs;
    for (const double hz : {63.0, 100.0, 160.0}) {
        const LevelBand& band = band_at_hz(found, hz);
        REQUIRE(band.predicted_db);
        // Source: closed form, energy of an exponential sweep per band goes with its duration.
        const double gain = 10 * std::log10(found.sweep->seconds * found.sweep->repeats / 3);
        CHECK(std::abs(*band.predicted_db - *band.range_db - gain) < 1e-9);
    }
}

TEST_CASE("the noise in a band is that of the room") {
    RoomDescription room = noisy(40);
    room.noise.slope_db_per_octave = 0;
    const FoundLevel found = found_in(room);
    // Source: closed form. 40 dB in 20 Hz to 20 kHz, ten octaves of equal level: 30 dB each, a third of that
    // in a third of an octave: 25.2 dB, of which the recorder's full scale of 110 dB is taken away. The mean
    // over ten bands of B · t = 40 to 400 scatters by 0.3 dB.
    double sum = 0;
    for (const double hz : {63, 80, 100, 125, 160, 200, 250, 315, 400, 500})
        sum += band_at_hz(found, hz).noise_dbfs;
    CAPTURE(sum / 10);
    CHECK(std::abs(sum / 10 - (25.2 - 110)) < 1);
}

TEST_CASE("the shortest sweep that gains enough is proposed, else the longest") {
    const LevelOptions options;
    CHECK(sweep_for_gain(options, 48000, -20, -10).seconds == 5);
    const Sweep more = sweep_for_gain(options, 48000, -20, 8);
    CHECK(10 * std::log10(more.seconds * more.repeats / 3) >= 8);
    CHECK(whole_duration_s(more) < 40);
    const Sweep most = sweep_for_gain(options, 48000, -20, 99);
    CHECK(most.seconds == 30);
    CHECK(most.repeats == 4);
    CHECK(most.level_dbfs == -20);
}

TEST_CASE("the search ends at once where it is told to") {
    VirtualRoom room(test_room(), "virtual:test");
    room.set_up({"before", {0.5, 0.6, 1.1}, {2.1, 1.4, 1.2}, false, 1});
    const FoundLevel found = find_level(room, {}, [](const Meter&) { return false; });
    CHECK(found.end == LevelEnd::stopped);
    CHECK(!found.sweep);
}
