// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

/// A small job of two visits with a take left out.
fs::path small_job(const TestFolder& folder) {
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
    job.keep("after", sample::sound(3, "S1-M1"), sample::morning);
    job.exclude("before/S1-M2-01", "a lorry passed", sample::morning);
    return path;
}

void flip(const fs::path& file, std::uint64_t bit) {
    std::string bytes = bytes_of(file);
    bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ (1 << (bit % 8)));
    std::ofstream(file, std::ios::binary) << bytes;
}

/// The list says of this file what it is now, and its own last line is right.
void renew_list(const fs::path& job, const std::string& file) {
    EvidenceLines lines = evidence_lines(bytes_of(job / manifest_name), "list");
    for (EvidenceLine& line : lines)
        if (line.path == file)
            line.sha256 = sha256_of_file(job / file);
    std::ofstream(job / manifest_name, std::ios::binary) << to_text(lines);
}

/// One take, then a promise.
fs::path promised_job(const TestFolder& folder) {
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    job.promise(sample::morning);
    return path;
}

} // namespace

TEST_CASE("an untouched job is intact") {
    const TestFolder folder;
    const auto path = small_job(folder);
    const Verification v = verify(path);
    CHECK(v.intact);
    CHECK(v.files == 11);
    CHECK(v.changed.empty());
    CHECK(v.missing.empty());
    CHECK(v.added.empty());
    CHECK(v.notes.empty());
    CHECK_FALSE(v.simulated);
    CHECK(verify(path, v.digest).intact);
}

TEST_CASE("of 1000 random single-bit flips over all evidence, 1000 are found and their file named") {
    // Source: property. SHA-256 changes with every bit; what can fail is that a file is not looked at.
    const TestFolder folder;
    const auto path = small_job(folder);
    std::vector<std::string> files;
    std::vector<double> sizes;
    for (const std::string& file : files_under(path))
        if (!file.ends_with("visit.toml") && file != "job.toml" && file != ".lock") {
            files.push_back(file);
            sizes.push_back(static_cast<double>(fs::file_size(path / file)));
        }
    REQUIRE(files.size() == 12); // eleven of evidence and their list
    std::mt19937_64 random(20261125);
    std::vector<int> hits(files.size());
    int found = 0;
    for (int i = 0; i < 1000; ++i) {
        const std::size_t which = random() % files.size();
        const auto bits = static_cast<std::uint64_t>(sizes[which]) * 8;
        const std::uint64_t bit = random() % bits;
        flip(path / files[which], bit);
        const Verification v = verify(path);
        found += !v.intact && v.changed == std::vector<std::string>{files[which]} && v.missing.empty();
        flip(path / files[which], bit);
        ++hits[which];
    }
    CHECK(found == 1000);
    CHECK(*std::min_element(hits.begin(), hits.end()) > 50);
    CHECK(verify(path).intact);
}

TEST_CASE("missing and added files are named, added ones are no fault") {
    const TestFolder folder;
    const auto path = small_job(folder);
    folder.write("job/visits/before/sounds/004.wav", "x");
    folder.write("job/letter.txt", "x");
    fs::create_directory(path / "photos");
    folder.write("job/photos/m1.jpg", "x");
    Verification v = verify(path);
    CHECK(v.intact);
    CHECK(v.added == std::vector<std::string>{"letter.txt", "visits/before/sounds/004.wav"});
    fs::remove(path / "visits/before/sounds/002.wav");
    v = verify(path);
    CHECK_FALSE(v.intact);
    CHECK(v.missing == std::vector<std::string>{"visits/before/sounds/002.wav"});
}

TEST_CASE("a link or a folder in the place of evidence is a change") {
    const TestFolder folder;
    const auto path = small_job(folder);
    const auto sound = path / "visits/before/sounds/001.wav";
    fs::rename(sound, folder / "elsewhere.wav");
    fs::create_symlink(folder / "elsewhere.wav", sound);
    CHECK(verify(path).changed == std::vector<std::string>{"visits/before/sounds/001.wav"});
    fs::remove(sound);
    fs::create_directory(sound);
    CHECK(verify(path).changed == std::vector<std::string>{"visits/before/sounds/001.wav"});
}

TEST_CASE("a digest of an earlier state is told as such, another one is found though every file is intact") {
    const TestFolder folder;
    const auto path = small_job(folder);
    const std::string digest = verify(path).digest;
    JobFolder(path, Access::write).keep("after", sample::sound(9, "S1-M2"), sample::morning);
    const Verification v = verify(path, digest);
    CHECK(v.intact); // nothing was changed: the digest is of another state
    CHECK(v.kind == DigestKind::record);
    CHECK(v.added_since.size() == 2); // the sound and its take
    CHECK(v.notes.back() == VerifyNote(DigestOfRecord{false}));
    folder.write("job/job.toml", sample::job_toml + "# a remark\n");
    CHECK(verify(path, digest).confirmed()); // a remark is no part of it
    JobFolder(path, Access::write).exclude("after/S1-M2-01", "a lorry passed", sample::morning);
    CHECK(verify(path, digest).left_out_since.size() == 1);
    std::string other = digest;
    other.front() = other.front() == '0' ? '1' : '0';
    const Verification wrong = verify(path, other);
    CHECK(wrong.intact);
    CHECK_FALSE(wrong.confirmed());
    CHECK(wrong.matches == false);
    CHECK(wrong.notes.back() == VerifyNote(DigestUnknown{other, true}));
}

TEST_CASE("a list forged to match a changed file is found by the take that bears the old hash") {
    const TestFolder folder;
    const auto path = small_job(folder);
    const std::string sound = "visits/before/sounds/001.wav";
    flip(path / sound, 999);
    renew_list(path, sound);
    const Verification v = verify(path);
    CHECK_FALSE(v.intact);
    CHECK(v.changed == std::vector<std::string>{sound});
    CHECK(v.notes == std::vector<VerifyNote>{HashesDiffer{"visits/before/takes/S1-M1-01.toml", {sound}}});
}

TEST_CASE("a list and a take forged together are found by the promise's own list") {
    const TestFolder folder;
    const auto path = promised_job(folder);
    const std::string sound = "visits/before/sounds/001.wav", take = "visits/before/takes/S1-M1-01.toml";
    const std::string digest = verify(path).digest, old = sha256_of_file(path / sound);
    flip(path / sound, 999);
    std::string text = bytes_of(path / take);
    text.replace(text.find(old), old.size(), sha256_of_file(path / sound));
    std::ofstream(path / take, std::ios::binary) << text;
    renew_list(path, sound);
    renew_list(path, take);
    const Verification v = verify(path);
    CHECK_FALSE(v.intact);
    CHECK(v.changed == std::vector<std::string>{sound, take});
    REQUIRE(v.promises.size() == 1);
    CHECK(v.promises[0].listed == 4);
    CHECK(v.promises[0].held == 2);
    CHECK_FALSE(verify(path, digest).confirmed());
}

TEST_CASE("a promise that the question names and that is gone is missing") {
    const TestFolder folder;
    const auto path = promised_job(folder);
    JobFolder(path, Access::write).keep("after", sample::sound(3, "S1-M1"), sample::morning);
    CHECK(verify(path).intact);
    EvidenceLines lines = evidence_lines(bytes_of(path / manifest_name), "list");
    std::erase_if(lines, [](const EvidenceLine& line) { return line.path == "promises/001.toml"; });
    fs::remove(path / "promises/001.toml");
    std::ofstream(path / manifest_name, std::ios::binary) << to_text(lines);
    CHECK(verify(path).missing == std::vector<std::string>{"promises/001.toml"});
}

TEST_CASE("a digest is told by what it is of") {
    const TestFolder folder;
    const auto path = promised_job(folder);
    const Verification plain = verify(path);
    CHECK_FALSE(plain.matches.has_value());
    CHECK(verify(path, plain.digest).kind == DigestKind::record);
    CHECK(verify(path, plain.digest.substr(0, 32)).kind == DigestKind::record);
    CHECK(verify(path, plain.digest.substr(0, 16)).kind == DigestKind::record); // older invoice lines
    const Verification promised = verify(path, short_digest(sha256_of_file(path / "promises/001.toml")));
    CHECK(promised.kind == DigestKind::promise);
    CHECK(promised.promise == "promises/001.toml");
    CHECK(verify(path, sha256_of_file(path / "visits/before/sounds/001.wav")).kind == DigestKind::file);
    const Verification few = verify(path, plain.digest.substr(0, 20));
    CHECK(few.matches == false);
    CHECK(few.notes.back() == VerifyNote(DigitsMiscounted{20}));
}

TEST_CASE("a copy on another disk verifies to the same digest, also read-only") {
    const TestFolder folder;
    const auto path = small_job(folder);
    fs::copy(path, folder / "copy", fs::copy_options::recursive);
    fs::permissions(folder / "copy", fs::perms::owner_read | fs::perms::owner_exec);
    const Verification v = verify(folder / "copy", verify(path).digest);
    fs::permissions(folder / "copy", fs::perms::owner_all);
    CHECK(v.intact);
    CHECK(v.added.empty());
}

TEST_CASE("without its list or its description a job is reported, not refused") {
    const TestFolder folder;
    const auto path = small_job(folder);
    std::ofstream(path / "job.toml") << "broken";
    Verification v = verify(path);
    CHECK_FALSE(v.intact);
    CHECK(v.unreadable == std::vector<std::string>{"job.toml"});
    CHECK(v.digest.empty());
    REQUIRE(v.notes.size() == 1);
    CHECK(contains(std::get<Said>(v.notes[0]).text, "job.toml, line 1"));
    CHECK(faults_in(v) == EvidenceFaults{{}, {}, {"job.toml"}, {}});
    fs::remove(path / "job.toml");
    CHECK(verify(path).missing == std::vector<std::string>{"job.toml"});
    std::ofstream(path / "job.toml") << sample::job_toml;
    CHECK(verify(path).intact);
    fs::remove(path / manifest_name);
    v = verify(path);
    CHECK_FALSE(v.intact);
    CHECK(v.missing == std::vector<std::string>{std::string(manifest_name)});
    CHECK(contains(refusal([&] { verify(folder / "none"); }), "is no job folder"));
    CHECK(contains(refusal([&] { verify(folder.path()); }), "is no job"));
}
