// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "job/level_setting.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <fstream>

using namespace ebbmark;

namespace {

LevelSetting setting_at(const LevelPlace& place) {
    LevelSetting setting;
    setting.sweep.level_dbfs = -24;
    setting.sweep.start_hz = 35;
    setting.sweep.rate_hz = place.rate_hz;
    setting.place = place;
    setting.device = "driver: \"device\"";
    setting.found_at = "2001-02-03T14:05:00+01:00";
    return setting;
}

} // namespace

TEST_CASE("the levels that were found come back as they were kept, and are no foreign file") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    CHECK(read_levels(job).settings.empty());
    LevelSetting first = setting_at({"driver: \"device\"", 1, "S1", 48000});
    const LevelSetting second = setting_at({"driver: \"device\"", 2, "S2", 48000});
    keep_level(job, first);
    keep_level(job, second);
    CHECK(read_levels(job).settings == std::vector{first, second});
    first.sweep.repeats = 4;
    keep_level(job, first);
    CHECK(read_levels(job).settings == std::vector{second, first});
    CHECK(verify(job.path()).added.empty());
}

TEST_CASE("a level holds for no other output, channel, loudspeaker or rate") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    keep_level(job, setting_at({"out", 1, "S1", 48000}));
    const KeptLevels levels = read_levels(job);
    CHECK(levels.at({"out", 1, "S1", 48000}) != nullptr);
    for (const LevelPlace& other : {LevelPlace{"other", 1, "S1", 48000}, LevelPlace{"out", 2, "S1", 48000},
                                    LevelPlace{"out", 1, "S2", 48000}, LevelPlace{"out", 1, "S1", 96000}})
        CHECK(levels.at(other) == nullptr);
}

TEST_CASE("a level of an earlier version is told apart, and the next one that is found replaces it") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    std::ofstream(job.path() / "level.toml")
        << "[level]\ndevice = \"d\"\nsimulated = false\nfound_at = \"2001-02-03T14:05:00+01:00\"\n\n"
           "[sweep]\nstart_hz = 20\nstop_hz = 20000\nseconds = 10\n";
    CHECK(read_levels(job).without_place);
    CHECK(read_levels(job).settings.empty());
    keep_level(job, setting_at({"out", 1, "S1", 48000}));
    CHECK(!read_levels(job).without_place);
    CHECK(read_levels(job).settings.size() == 1);
}

TEST_CASE("a level.toml that was edited wrongly is refused with its place") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    std::ofstream(job.path() / "level.toml") << "[level]\ndevice = 3\n";
    CHECK_THROWS_WITH_AS(read_levels(job), doctest::Contains("level.toml"), Error);
}
