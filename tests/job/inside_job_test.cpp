// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/inside_job.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;
namespace fs = std::filesystem;

TEST_CASE("a path inside a job is told, by whatever way it leads there") {
    const TestFolder folder;
    const auto job = fs::canonical(sample::new_job(folder));
    fs::create_directories(job / "results/data");
    fs::create_directories(folder / "elsewhere/deep");
    fs::create_directory_symlink(job / "visits", folder / "link");
    fs::create_directory_symlink(job / "visits", job / "results/way-out");
    fs::create_directory_symlink(folder / "elsewhere", job / "visits/out");
    for (const fs::path& inside :
         {job / "job.toml", job / "x.txt", job / "results", job / "visits/before/sounds/001.wav",
          job / "results/../x", job / "results/way-out/x", folder / "link/x", folder / "link/before/x",
          folder / "elsewhere/../job/x", job / "resultsx/x", job / "visits/results/x", job / "x/"}) {
        CAPTURE(inside);
        CHECK(job_around(inside) == job);
    }
    for (const fs::path& outside : {job, job / "", job / "results/x", job / "results/data/x", folder / "x",
                                    folder / "elsewhere/deep/x", job / "visits/out/x", folder / "none/x"}) {
        CAPTURE(outside);
        CHECK_FALSE(job_around(outside));
    }
}

TEST_CASE("a relative path is looked up from here, and a job is one without its job.toml too") {
    const TestFolder folder;
    const auto job = fs::canonical(sample::new_job(folder));
    const auto here = fs::current_path();
    fs::current_path(job / "visits");
    const auto around = job_around("x"), above = job_around("../x"), outside = job_around("../../x");
    fs::current_path(here);
    CHECK(around == job);
    CHECK(above == job);
    CHECK_FALSE(outside);
    fs::remove(job / "job.toml");
    CHECK(job_around(job / "visits/x") == job);
    fs::remove(job / "evidence.sha256");
    CHECK_FALSE(job_around(job / "visits/x"));
    folder.write("job/job.toml", "");
    CHECK(job_around(job / "visits/x") == job);
}
