// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "job/level_setting.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <fstream>

using namespace ebbmark;

TEST_CASE("the level that was found comes back as it was kept, and is no foreign file") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    CHECK(!read_level(job));
    LevelSetting setting;
    setting.sweep.level_dbfs = -24;
    setting.sweep.start_hz = 35;
    setting.device = "driver: \"device\"";
    setting.found_at = "2001-02-03T14:05:00+01:00";
    keep_level(job, setting);
    CHECK(read_level(job) == setting);
    setting.sweep.repeats = 4;
    keep_level(job, setting);
    CHECK(read_level(job) == setting);
    CHECK(verify(job.path()).added.empty());
}

TEST_CASE("a level.toml that was edited wrongly is refused with its place") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder.path() / "job");
    std::ofstream(job.path() / "level.toml") << "[level]\ndevice = 3\n";
    CHECK_THROWS_WITH_AS(read_level(job), doctest::Contains("level.toml"), Error);
}
