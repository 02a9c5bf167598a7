// SPDX-License-Identifier: GPL-3.0-or-later
// What two visits' own recordings say of level, noise and the loudspeaker.
#include "../job/sample.hpp"
#include "signal/direct_sound.hpp"
#include "work/heard_conditions.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

namespace {

/// A short sweep as it would be recorded without a room; `number` keeps it apart from others.
void record(const std::filesystem::path& job, const std::string& visit, const std::string& position,
            int number, double level_dbfs = -12) {
    NewSound sound = sample::sound(number, position);
    sound.sweep = Sweep{20, 20000, 2, 48000, level_dbfs, 0, 0.1, 0.005, 0.5, 1, 2, 1};
    std::vector<double> samples = whole_signal(*sound.sweep).samples;
    for (double& value : samples)
        value *= 0.1 * number;
    sound.bytes = wav_bytes({samples}, 48000, SampleFormat::float32, "", "recording");
    JobFolder(job, Access::write).keep(visit, sound, sample::morning);
}

std::string effect_on(const std::vector<Condition>& conditions, const std::string& what) {
    for (const Condition& condition : conditions)
        if (condition.what == what)
            return condition.effect;
    return "(not said)";
}

} // namespace

// Source: closed form. A full-scale sine is 0 dB, a tenth of it −20 dB.
TEST_CASE("a recording's level counts from a full-scale sine, its noise from its quietest part") {
    Signal recording{std::vector<double>(48000, 0.0), 48000};
    for (std::size_t i = 0; i < recording.samples.size(); ++i)
        recording.samples[i] =
            (i < 9600 ? 0.001 : 1.0) * std::sin(2 * std::numbers::pi * 1000 * static_cast<double>(i) / 48000);
    const HeardLevels heard = heard_levels(recording);
    CHECK(heard.noise_db == doctest::Approx(-60).epsilon(0.001));
    CHECK(heard.level_db == doctest::Approx(10 * std::log10(0.8)).epsilon(0.001)); // four fifths of the time
    const HeardLevels silent = heard_levels({std::vector<double>(100, 0.0), 48000});
    CHECK(silent.level_db == silent.noise_db);
    CHECK(silent.level_db < -150);
}

TEST_CASE("a changed spectrum is told from a clear difference at three places and more, not from scatter") {
    const std::size_t bands = direct_sound_bands().size();
    const std::vector<std::vector<double>> before(3, std::vector<double>(bands, 0.0));
    auto after = before;
    for (auto& place : after)
        place[0] = -3;                 // the same everywhere
    after[0][1] = 6, after[1][1] = -1; // of one place
    for (auto& place : after)
        place[2] = 0.9; // too small to tell
    const auto changes = direct_sound_changes(before, after);
    REQUIRE(changes.size() == bands);
    CHECK(changes[0].is_changed);
    CHECK(changes[0].change_db == doctest::Approx(-3));
    CHECK(!changes[1].is_changed);
    CHECK(!changes[2].is_changed);
    CHECK(direct_sound_changes({before[0], before[1]}, {after[0], after[1]}).empty());
    CHECK(direct_sound_changes(before, {after[0], after[1]}).empty());
}

TEST_CASE("level and noise of a visit are those of its recordings, and without any nothing is said") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    record(path, "before", "S1-M1", 1);
    record(path, "before", "S1-M2", 2);
    const AnalysedJob job(path, Access::read);
    VisitConditions conditions;
    add_heard(conditions, job, "before");
    REQUIRE(conditions.level_db);
    double sum = 0;
    for (const char* take : {"before/S1-M1-01", "before/S1-M2-01"})
        sum += heard_levels(read_audio(job.sound_file(job.take(take))).channel(1)).level_db;
    CHECK(*conditions.level_db == doctest::Approx(sum / 2).epsilon(1e-6));
    CHECK(*conditions.noise_db <= *conditions.level_db);
    VisitConditions none;
    add_heard(none, job, "after");
    CHECK(!none.level_db);
}

TEST_CASE("two visits with another sweep, device or calibration say so, equal ones that they are the same") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    record(path, "before", "S1-M1", 1);
    record(path, "after", "S1-M1", 2);
    record(path, "after-2", "S1-M1", 3, -6);
    const AnalysedJob job(path, Access::read);
    const auto same = compared_takes(job, "before", "after");
    CHECK(effect_on(same, "sweep") == "the same");
    CHECK(effect_on(same, "calibration") == "the same");
    CHECK(effect_on(same, "sound device") == "the same");
    CHECK(effect_on(same, "delay") == "(not said)"); // of recorders that somebody started by hand
    CHECK(effect_on(same, "spectrum of the direct sound") == "(not said)"); // of one place
    const auto other = compared_takes(job, "before", "after-2");
    CHECK(effect_on(other, "sweep").starts_with("differs"));
    CHECK(compared_takes(job, "before", "nowhere").empty());
}
