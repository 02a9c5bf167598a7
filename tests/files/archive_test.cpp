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
    write_archive(folder / "a.zip", entries, false);
    fs::last_write_time(folder / "sound", fs::file_time_type::clock::now() + std::chrono::hours(5));
    write_archive(folder / "b.zip", entries, false);
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
    write_archive(folder / "a.zip", {{"x", "1", {}}}, false);
    CHECK_THROWS_AS(write_archive(folder / "a.zip", {{"x", "2", {}}}, false), Error);
    write_archive(folder / "a.zip", {{"x", "2", {}}}, true);
    CHECK_THROWS_AS(write_archive(folder / "b.zip", {{"x", "", folder / "nowhere"}}, false), Error);
    CHECK(!fs::exists(folder / "b.zip"));
    CHECK(!fs::exists(folder / "b.zip.part"));
}

TEST_CASE("nothing is unpacked outside, and damage is told") {
    const TestFolder folder;
    write_archive(folder / "a.zip", {{"README.txt", "a text long enough to be damaged", {}}}, false);
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
