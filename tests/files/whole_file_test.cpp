// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/whole_file.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <functional>

using namespace ebbmark;

namespace {

/// Runs `work` in a child process; its text and whether it ended by itself.
std::string in_child(const TestFolder& folder, const std::function<std::string()>& work) {
    // The answer goes through a file outside the folder under test.
    const std::string answer = folder.path().string() + "-answer";
    const pid_t child = ::fork();
    if (child == 0) {
        const std::string text = work();
        struct rlimit none {
            RLIM_INFINITY, RLIM_INFINITY
        };
        ::setrlimit(RLIMIT_FSIZE, &none);
        std::ofstream(answer) << text;
        ::_exit(0);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    const std::string text = WIFEXITED(status) ? bytes_of(answer) : "the child was killed";
    std::filesystem::remove(answer);
    return text;
}

} // namespace

TEST_CASE("a file is written whole and read back whole") {
    const TestFolder folder;
    const std::string bytes("a\0b\n\xff", 5);
    write_whole(folder / "a.bin", bytes, Overwrite::never);
    CHECK(read_whole(folder / "a.bin") == bytes);
    CHECK(folder.entries() == 1);
}

TEST_CASE("an existing file is kept unless it may be made again") {
    const TestFolder folder;
    write_whole(folder / "a", "first", Overwrite::never);
    const std::string text = refusal([&] { write_whole(folder / "a", "second", Overwrite::never); });
    CHECK(contains(text, (folder / "a").string()));
    CHECK(contains(text, "exists already"));
    CHECK(read_whole(folder / "a") == "first");
    write_whole(folder / "a", "second", Overwrite::derived);
    CHECK(read_whole(folder / "a") == "second");
    CHECK(folder.entries() == 1);
}

TEST_CASE("destinations that cannot be written are refused with place and mend") {
    const TestFolder folder;
    folder.write("file", "x");
    CHECK(contains(refusal([&] { write_whole(folder / "no/a", "x", Overwrite::never); }),
                   "create the folder first"));
    CHECK(contains(refusal([&] { write_whole(folder / "file/a", "x", Overwrite::never); }),
                   "is a file and not a"));
    CHECK(contains(refusal([&] { write_whole(folder.path(), "x", Overwrite::derived); }), "is a folder"));
    CHECK(
        contains(refusal([&] { write_whole("/dev/full", "x", Overwrite::derived); }), "not a regular file"));
    CHECK(contains(refusal([&] { write_whole(folder / std::string(300, 'a'), "x", Overwrite::never); }),
                   "choose a shorter name"));
    CHECK(contains(refusal([&] { make_folder(folder / "file"); }), "is a file and not a folder"));
    CHECK(folder.entries() == 1);
}

TEST_CASE("files that cannot be read are refused with place and mend") {
    const TestFolder folder;
    const std::string missing = refusal([&] { read_whole(folder / "none"); });
    CHECK(contains(missing, (folder / "none").string()));
    CHECK(contains(missing, "does not exist; check the name"));
    CHECK(contains(refusal([&] { read_whole(folder.path()); }), "is a folder"));
    CHECK(contains(refusal([&] { read_whole("/dev/zero"); }), "is not a regular file"));
    folder.write("big", std::string(101, 'x'));
    CHECK(contains(refusal([&] { read_whole(folder / "big", 100); }), "more than 100 bytes"));
    CHECK(read_whole(folder / "big", 101).size() == 101);
}

TEST_CASE("permissions are respected, and said") {
    const TestFolder folder;
    folder.write("secret", "x");
    ::chmod((folder / "secret").c_str(), 0);
    ::chmod(folder.path().c_str(), 0555);
    const std::string text = in_child(folder, [&]() -> std::string {
        const bool root = ::geteuid() == 0;
        if (root && ::seteuid(65534) != 0)
            return "cannot give up the rights of root";
        const std::string both = refusal([&] { write_whole(folder / "a", "x", Overwrite::never); }) + "\n" +
                                 refusal([&] { read_whole(folder / "secret"); });
        if (root && ::seteuid(0) != 0)
            return "cannot become root again";
        return both;
    });
    ::chmod(folder.path().c_str(), 0755);
    CHECK(contains(text, "cannot be written (Permission denied); change the permissions"));
    CHECK(contains(text, "cannot be read (Permission denied); change the permissions"));
    CHECK(folder.entries() == 1);
}

TEST_CASE("a file larger than may be written leaves nothing behind") {
    const TestFolder folder;
    folder.write("kept", "old");
    const std::string text = in_child(folder, [&] {
        struct rlimit small {
            1000, RLIM_INFINITY
        };
        ::setrlimit(RLIMIT_FSIZE, &small);
        std::signal(SIGXFSZ, SIG_IGN);
        return refusal([&] { write_whole(folder / "kept", std::string(5000, 'x'), Overwrite::derived); });
    });
    CHECK(contains(text, "File too large"));
    CHECK(contains(text, "choose another disk"));
    CHECK(bytes_of(folder / "kept") == "old");
    CHECK(folder.entries() == 1);
}

TEST_CASE("a full disk leaves nothing behind") {
    const TestFolder folder;
    if (::mount("none", folder.path().c_str(), "tmpfs", 0, "size=64k") != 0) {
        MESSAGE("skipped: only root can make a small disk");
        return;
    }
    write_whole(folder / "kept", "old", Overwrite::never);
    const std::string text =
        refusal([&] { write_whole(folder / "kept", std::string(200000, 'x'), Overwrite::derived); });
    const std::string left = bytes_of(folder / "kept");
    const std::size_t entries = folder.entries();
    ::umount(folder.path().c_str());
    CHECK(contains(text, "the disk is full: make room"));
    CHECK(left == "old");
    CHECK(entries == 1);
}

TEST_CASE("names of killed writes are recognised, and no others") {
    const std::string stem = unfinished_stem();
    CHECK(is_unfinished_stem(stem));
    CHECK(stem.starts_with(".ebbmark-" + std::to_string(::getpid()) + "-"));
    CHECK(is_unfinished_write(stem + "4.part"));
    CHECK(is_unfinished_write(stem + "4.part", stem));
    CHECK(is_unfinished_write(".ebbmark-7-0123456789abcdef-1.part"));
    CHECK_FALSE(is_unfinished_write(stem + "4.part", ".ebbmark-7-0123456789abcdef-"));
    for (const char* other : {"take.wav", ".ebbmark-lock", ".ebbmark-123-4.part", ".ebbmark-.part",
                              ".ebbmark-7-0123456789abcdef-.part", ".ebbmark-7-0123456789abcdef-1.part.part",
                              ".ebbmark-7-0123456789abcdeg-1.part", ".ebbmark-mine.part"})
        CHECK_FALSE(is_unfinished_write(other));
}

TEST_CASE("a temporary name that is taken is left to whoever has it") {
    const TestFolder folder;
    write_whole(folder / "first", "1", Overwrite::never);
    std::vector<std::filesystem::path> taken;
    for (int n = 0; n < 2000; ++n)
        taken.push_back(folder.write(unfinished_stem() + std::to_string(n) + ".part", "mine"));
    write_whole(folder / "second", "2", Overwrite::never);
    CHECK(bytes_of(folder / "second") == "2");
    for (const auto& path : taken)
        CHECK(bytes_of(path) == "mine");
}
