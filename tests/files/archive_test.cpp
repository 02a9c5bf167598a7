// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "files/archive.hpp"
#include "files/whole_file.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

#include <filesystem>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

std::string replaced(std::string bytes, const std::string& from, const std::string& to) {
    for (std::size_t at = 0; (at = bytes.find(from, at)) != bytes.npos; at += to.size())
        bytes.replace(at, from.size(), to);
    return bytes;
}

} // namespace

TEST_CASE("an archive gives back what went in, whenever and wherever it was written") {
    const TestFolder folder;
    const std::string sound(100000, '\x17');
    write_whole(folder / "sound", sound, Overwrite::never);
    const std::vector<ArchiveEntry> entries = {
        {"README.txt", "read me", {}}, {"job/Größe 音.wav", "", folder / "sound"}, {"job/empty", "", {}}};
    write_archive(folder / "a.zip", entries, Overwrite::never);
    fs::last_write_time(folder / "sound", fs::file_time_type::clock::now() + std::chrono::hours(5));
    write_archive(folder / "b.zip", entries, Overwrite::never);
    const std::string bytes = read_whole(folder / "a.zip");
    CHECK(bytes == read_whole(folder / "b.zip"));
    // Source: independent. APPNOTE.TXT 4.3.7: a local header begins with PK 3 4; 4.4.5: method 0 is stored.
    CHECK(bytes.substr(0, 4) == "PK\x03\x04");
    CHECK(bytes[8] == 0);
    fs::create_directory(folder / "out");
    unpack_archive(folder / "a.zip", folder / "out");
    CHECK(read_whole(folder / "out/README.txt") == "read me");
    CHECK(read_whole(folder / "out/job/Größe 音.wav") == sound);
    CHECK(fs::file_size(folder / "out/job/empty") == 0);
}

TEST_CASE("an archive is replaced only on request, and an unreadable file leaves none behind") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"x", "1", {}}}, Overwrite::never);
    CHECK_THROWS_AS(write_archive(folder / "a.zip", {{"x", "2", {}}}, Overwrite::never), Error);
    write_archive(folder / "a.zip", {{"x", "2", {}}}, Overwrite::derived);
    CHECK_THROWS_AS(write_archive(folder / "b.zip", {{"x", "", folder / "nowhere"}}, Overwrite::never),
                    Error);
    CHECK(!fs::exists(folder / "b.zip"));
    CHECK(folder.entries() == 1);
}

TEST_CASE("an archive is written beside nobody's file and through no link") {
    const TestFolder folder;
    folder.write("a.zip.part", "mine");
    folder.write("elsewhere", "mine too");
    fs::create_symlink("elsewhere", folder / "b.zip.part");
    write_archive(folder / "a.zip", {{"x", "1", {}}}, Overwrite::never);
    write_archive(folder / "b.zip", {{"x", "1", {}}}, Overwrite::never);
    CHECK(bytes_of(folder / "a.zip.part") == "mine");
    CHECK(bytes_of(folder / "elsewhere") == "mine too");
    CHECK(fs::is_symlink(folder / "b.zip.part"));
    CHECK(fs::is_regular_file(fs::symlink_status(folder / "b.zip")));
}

TEST_CASE("nothing is unpacked outside, and damage is told") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"README.txt", "a text long enough to be damaged", {}}},
                  Overwrite::never);
    const std::string bytes = read_whole(folder / "a.zip");
    fs::create_directory(folder / "out");
    const auto refused = [&](const std::string& damaged) {
        write_whole(folder / "damaged.zip", damaged, Overwrite::derived);
        CHECK_THROWS_AS(unpack_archive(folder / "damaged.zip", folder / "out"), Error);
    };
    refused(replaced(bytes, "README.txt", "../DME.txt"));
    CHECK(!fs::exists(folder / "DME.txt"));
    refused(replaced(bytes, "long enough", "long Enough"));
    refused("no archive at all");
    refused("");
}

TEST_CASE("odd archives are refused with the reason") {
    const TestFolder folder;
    const auto refused = [&](const std::vector<ArchiveEntry>& entries) {
        write_archive(folder / "odd.zip", entries, Overwrite::derived);
        fs::remove_all(folder / "out");
        fs::create_directory(folder / "out");
        return refusal([&] { unpack_archive(folder / "odd.zip", folder / "out"); });
    };
    CHECK(contains(refused({{"a", "1", {}}, {"a", "2", {}}}), "odd.zip: holds a twice; do not trust it"));
    CHECK(contains(refused({{"a", "1", {}}, {"a/b", "2", {}}}), "odd.zip: a/b could not be unpacked"));
    CHECK(contains(refused({{"a/b", "1", {}}, {"a", "2", {}}}), "odd.zip: holds a twice"));
    CHECK(contains(refused({{std::string(300, 'x'), "1", {}}}), "could not be unpacked"));
    CHECK(contains(refused({{std::string(300, 'x') + "/a", "1", {}}}),
                   "could not be unpacked (File name too long)"));
    CHECK(refused({{"a/b", "1", {}}, {"a/c", "2", {}}}) == "no error");
}

TEST_CASE("more than the limits is refused before the disk is full of it") {
    const TestFolder folder;
    const auto refused = [&](const std::vector<ArchiveEntry>& entries, const ArchiveLimits& limits) {
        write_archive(folder / "big.zip", entries, Overwrite::derived);
        fs::remove_all(folder / "out");
        fs::create_directory(folder / "out");
        return refusal([&] { unpack_archive(folder / "big.zip", folder / "out", limits); });
    };
    const std::vector<ArchiveEntry> entries = {{"a/b/c", std::string(3'000'000, 'x'), {}}, {"d", "", {}}};
    CHECK(refused(entries, {}) == "no error");
    ArchiveLimits limits;
    limits.entries = 1;
    CHECK(contains(refused(entries, limits), "holds more than 1 files"));
    limits = {};
    limits.depth = 2;
    CHECK(contains(refused(entries, limits), "holds folders more than 2 deep"));
    limits = {};
    limits.bytes = 2'000'000;
    CHECK(contains(refused(entries, limits), "unpacks to more than 2 MB"));
    CHECK(fs::file_size(folder / "out/a/b/c") <= 2'000'000);
    limits = {};
    limits.bytes_always = 1'000'000;
    limits.times_packed = 0;
    CHECK(contains(refused(entries, limits), "unpacks to more than 1 MB, far more than its own size"));
}

TEST_CASE("an archive cut by its last 30 bytes, or longer than its end, is refused") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"a/b.txt", "some text", {}}, {"c", std::string(300, 'z'), {}}},
                  Overwrite::never);
    const std::string bytes = read_whole(folder / "a.zip");
    for (const std::string& odd :
         {bytes.substr(0, bytes.size() - 30), bytes.substr(0, bytes.size() - 1), bytes + "x"}) {
        fs::remove_all(folder / "out");
        fs::create_directory(folder / "out");
        write_whole(folder / "odd.zip", odd, Overwrite::derived);
        CHECK(contains(refusal([&] { unpack_archive(folder / "odd.zip", folder / "out"); }), "odd.zip: is "));
    }
}

TEST_CASE("what lies in an archive beside its files is seen") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"a/b.txt", "some text", {}}, {"c", "more", {}}}, Overwrite::never);
    fs::create_directory(folder / "out");
    const auto files = unpack_archive(folder / "a.zip", folder / "out");
    CHECK(files == std::vector<std::string>{"a/b.txt", "c"});
    CHECK(is_as_written(folder / "a.zip", folder / "out", files));
    std::string bytes = read_whole(folder / "a.zip");
    bytes[10] = static_cast<char>(bytes[10] ^ 1); // the first file's time
    write_whole(folder / "b.zip", bytes, Overwrite::never);
    fs::create_directory(folder / "out_b");
    CHECK_FALSE(is_as_written(folder / "b.zip", folder / "out_b",
                              unpack_archive(folder / "b.zip", folder / "out_b")));
}

TEST_CASE("an archive cut off anywhere is refused") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"a/b.txt", "some text", {}}, {"c", std::string(300, 'z'), {}}},
                  Overwrite::never);
    const std::string bytes = read_whole(folder / "a.zip");
    for (std::size_t length = 0; length < 300; length += 7) {
        fs::remove_all(folder / "out");
        fs::create_directory(folder / "out");
        write_whole(folder / "cut.zip", bytes.substr(0, length), Overwrite::derived);
        CAPTURE(length);
        CHECK(contains(refusal([&] { unpack_archive(folder / "cut.zip", folder / "out"); }), "cut.zip: "));
    }
}
