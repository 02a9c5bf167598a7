// SPDX-License-Identifier: GPL-3.0-or-later
// A job must survive SIGKILL at any moment. EBBMARK_KILLS sets how often it is tried (default 20).
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <random>
#include <thread>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

constexpr int sounds = 8;

/// A whole job; writes one byte to `done` for each step that has ended: 1 the job is there, then the takes.
void scripted_job(const fs::path& path, int done) {
    const auto report = [&] { [[maybe_unused]] const auto said = ::write(done, "x", 1); };
    {
        const JobFolder created = JobFolder::create(path); // its lock notes the temporary files
        write_whole(path / "job.toml", sample::job_toml, Overwrite::derived);
    }
    report();
    for (int i = 0; i < sounds; ++i) {
        JobFolder job(path, Access::write);
        job.keep(i < sounds / 2 ? "before" : "after", sample::sound(i, i % 2 ? "S1-M1" : "S1-M2"),
                 sample::morning);
        report();
        if (i == 2)
            job.exclude("before/S1-M1-01", "a lorry passed", sample::morning);
    }
}

/// Starts the job in a process of its own and kills it after `delay`; the number of steps that had ended.
std::size_t killed_after(const fs::path& path, std::chrono::microseconds delay) {
    int pipe_ends[2];
    REQUIRE(::pipe(pipe_ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        ::close(pipe_ends[0]);
        scripted_job(path, pipe_ends[1]);
        ::_exit(0);
    }
    ::close(pipe_ends[1]);
    std::this_thread::sleep_for(delay);
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    std::string steps(100, '\0');
    const auto got = ::read(pipe_ends[0], steps.data(), steps.size());
    ::close(pipe_ends[0]);
    return static_cast<std::size_t>(got);
}

/// How long one undisturbed run takes, so that the kills fall all over it.
std::chrono::microseconds time_of_whole_job(const fs::path& path) {
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) {
        scripted_job(path, STDERR_FILENO + 100); // nobody listens
        ::_exit(0);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    REQUIRE(status == 0);
    return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
}

} // namespace

TEST_CASE("killed at random moments, the job opens and no finished take is lost") {
    const TestFolder folder;
    const std::chrono::microseconds whole = time_of_whole_job(folder / "whole");
    const char* asked = std::getenv("EBBMARK_KILLS");
    const int kills = asked ? std::atoi(asked) : 20;
    std::mt19937_64 random(7);
    int opened = 0, intact = 0, lost = 0, with_leftovers = 0, in_the_middle = 0;
    for (int i = 0; i < kills; ++i) {
        const auto path = folder / ("job" + std::to_string(i));
        const std::chrono::microseconds delay(
            static_cast<long>(random() % static_cast<std::uint64_t>(whole.count())));
        const std::size_t steps = killed_after(path, delay);
        in_the_middle += steps > 0 && steps < 1 + sounds;
        if (!fs::exists(path / "job.toml"))
            JobFolder::create(path); // killed in `new`: a second try goes on from there
        CAPTURE(i);
        const JobFolder job(path, Access::write);
        ++opened;
        with_leftovers += !job.notes().empty();
        const Verification v = verify(path);
        CHECK(v.added == std::vector<std::string>{});
        intact += v.intact && v.added.empty();
        lost += job.takes().size() + 1 < steps;
        for (const Take& take : job.takes())
            CHECK_NOTHROW(job.sound_file(take));
        fs::remove_all(path);
    }
    MESSAGE(kills << " kills, " << in_the_middle << " between the first and the last take, " << with_leftovers
                  << " with leftovers that were named");
    CHECK(opened == kills);
    CHECK(intact == kills);
    CHECK(lost == 0);
}
