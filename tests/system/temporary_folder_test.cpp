// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "in_child.hpp"
#include "system/temporary_folder.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <optional>
#include <thread>

using namespace ebbmark;

namespace fs = std::filesystem;

TEST_CASE("a temporary folder is this user's alone, and goes away with what is in it") {
    std::optional<TemporaryFolder> folder(std::in_place), other(std::in_place);
    const fs::path path = folder->path();
    CHECK(path != other->path());
    CHECK(fs::is_empty(path));
    struct stat state {};
    REQUIRE(::stat(path.c_str(), &state) == 0);
    CHECK((state.st_mode & 0777) == 0700);
    fs::create_directory(path / "in");
    std::ofstream(path / "in" / "a") << "x";
    folder.reset();
    CHECK_FALSE(fs::exists(path));
    CHECK(fs::exists(other->path()));
}

TEST_CASE("a temporary folder goes away where the program is killed, too") {
    const TestFolder folder;
    const std::string answer = (folder / "answer").string();
    CHECK(in_child([&] {
              const TemporaryFolder killed;
              std::ofstream(killed.path() / "a") << "x";
              std::ofstream(answer) << killed.path().string() << std::flush;
              ::raise(SIGKILL);
              return 0;
          }) == 1000 + SIGKILL);
    const fs::path path = bytes_of(answer);
    REQUIRE(!path.empty());
    for (int looks = 0; looks < 200 && fs::exists(path); ++looks)
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
    CHECK_FALSE(fs::exists(path));
}

TEST_CASE("where no temporary folder can be made, TMPDIR is named") {
    const TestFolder folder;
    const std::string answer = (folder / "answer").string();
    REQUIRE(in_child([&] {
                ::setenv("TMPDIR", "/proc", 1); // where nothing can be made, by root neither
                std::ofstream(answer) << refusal([] { TemporaryFolder(); });
                return 0;
            }) == 0);
    CHECK(contains(bytes_of(answer), "could not be made; free some space there, or set TMPDIR"));
}
