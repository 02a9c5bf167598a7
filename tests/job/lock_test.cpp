// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "job/lock.hpp"

#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <utility>

using namespace ebbmark;

TEST_CASE("two programs on one job: the second is told who holds it") {
    const TestFolder folder;
    int ready[2];
    REQUIRE(::pipe(ready) == 0);
    const pid_t other = ::fork();
    if (other == 0) {
        const JobLock lock(folder.path());
        [[maybe_unused]] const auto said = ::write(ready[1], "x", 1);
        ::pause();
        ::_exit(0);
    }
    char said = 0;
    REQUIRE(::read(ready[0], &said, 1) == 1);
    const std::string text = refusal([&] { JobLock(folder.path()); });
    CHECK(contains(text, "the job is in use by process " + std::to_string(other) + " on "));
    CHECK(contains(text, "wait until it is done or end it"));
    ::kill(other, SIGKILL);
    ::waitpid(other, nullptr, 0);
    {
        const JobLock lock(folder.path());
        REQUIRE(lock.cleared());
        CHECK(lock.cleared()->holder.starts_with("process " + std::to_string(other) + " on "));
    }
    CHECK_FALSE(JobLock(folder.path()).cleared());
    ::close(ready[0]);
    ::close(ready[1]);
}

TEST_CASE("a lock is given back at its end, also after it was moved") {
    const TestFolder folder;
    {
        JobLock lock(folder.path());
        const JobLock moved(std::move(lock));
        CHECK(contains(refusal([&] { JobLock(folder.path()); }), "in use"));
    }
    CHECK(refusal([&] { JobLock(folder.path()); }) == "no error");
}

TEST_CASE("a lock of another computer is not taken over in silence") {
    const TestFolder folder;
    folder.write(lock_name, "process 1 on another-computer.invalid\n");
    const std::string text = refusal([&] { JobLock(folder.path()); });
    CHECK(contains(text, "in use by process 1 on another-computer.invalid"));
    CHECK(contains(text, "if it has ended, delete this file"));
}

TEST_CASE("a lock file that leads elsewhere is not followed") {
    const TestFolder folder;
    std::filesystem::create_symlink(folder / "elsewhere", folder / lock_name);
    CHECK(contains(refusal([&] { JobLock(folder.path()); }), "cannot be opened"));
    CHECK_FALSE(std::filesystem::exists(folder / "elsewhere"));
}
