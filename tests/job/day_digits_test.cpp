// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "job/day_digits.hpp"
#include "job/stored_promise.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

const Occasion evening{"2026-11-25T18:00:00+01:00", "ebbmark 0.1.0"};

/// Two takes of one visit, and the digits of the day.
struct ShownDay {
    TestFolder folder;
    fs::path path = sample::new_job(folder);
    DayDigits day;

    ShownDay() {
        JobFolder job(path, Access::write);
        CHECK_FALSE(job.show_digits(evening)); // of nothing there are none
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
        job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
        day = *job.show_digits(evening);
    }
    std::string digits() const { return short_digest(day.sha256); }
};

void replace_in(const fs::path& file, const std::string& what, const std::string& with) {
    std::string text = bytes_of(file);
    REQUIRE(text.find(what) != text.npos);
    text.replace(text.find(what), what.size(), with);
    std::ofstream(file, std::ios::binary) << text;
}

} // namespace

TEST_CASE("the digits of a day are the SHA-256 of the list's first lines") {
    const ShownDay shown;
    CHECK(shown.day.visit == "before");
    CHECK(shown.day.file == "days/001.toml");
    CHECK(shown.day.shown_at == evening.time);
    CHECK(shown.day.lines == 6); // two sounds, two takes, job.toml and the protocol as they stood
    std::string text = bytes_of(shown.path / manifest_name), first;
    for (std::size_t i = 0; i < shown.day.lines; ++i) {
        const auto end = text.find('\n') + 1;
        first += text.substr(0, end);
        text.erase(0, end);
    }
    CHECK(sha256(first) == shown.day.sha256);
    CHECK(verify(shown.path).intact);
}

TEST_CASE("the note of a day is read back, and a wrong one refused") {
    const DayDigits day{"", "before", evening.time, 14, sha256("x")};
    const DayDigits again = day_digits_from(to_toml(day), "days/001.toml");
    CHECK(again.visit == day.visit);
    CHECK(again.shown_at == day.shown_at);
    CHECK(again.lines == day.lines);
    CHECK(again.sha256 == day.sha256);
    DayDigits wrong = day;
    wrong.sha256 = "abc";
    CHECK(contains(refusal([&] { day_digits_from(to_toml(wrong), "days/001.toml"); }), "is no SHA-256"));
    wrong = day;
    wrong.lines = 0;
    CHECK(contains(refusal([&] { day_digits_from(to_toml(wrong), "days/001.toml"); }), "days/001.toml"));
}

TEST_CASE("without anything new no new digits, and a protocol that was filled in gives new ones") {
    const ShownDay shown;
    JobFolder job(shown.path, Access::write);
    CHECK(job.show_digits(evening)->sha256 == shown.day.sha256);
    CHECK(job.days().size() == 1);
    replace_in(shown.path / "visits/before/visit.toml", "notes = \"\"", "notes = \"rain\"");
    const DayDigits next = *job.show_digits(evening);
    CHECK(next.file == "days/002.toml");
    CHECK(next.sha256 != shown.day.sha256);
    CHECK(bytes_of(shown.path / "visits/before/protocols/002.toml") ==
          bytes_of(shown.path / "visits/before/visit.toml"));
    CHECK(verify(shown.path, shown.digits()).changed_since.size() == 1);
    CHECK(verify(shown.path, short_digest(next.sha256)).changed_since.empty());
}

TEST_CASE("a job that may not be written shows its digits and notes nothing") {
    const ShownDay shown;
    replace_in(shown.path / "visits/before/visit.toml", "notes = \"\"", "notes = \"rain\"");
    JobFolder job(shown.path, Access::read);
    const DayDigits digits = *job.show_digits(evening);
    CHECK(digits.file.empty());
    CHECK(verify(shown.path, short_digest(digits.sha256)).kind == DigestKind::day);
    CHECK(verify(shown.path).files == 7);
}

TEST_CASE("verify finds the state of a day by its digits, and tells what came after it") {
    const ShownDay shown;
    {
        JobFolder job(shown.path, Access::write);
        job.keep("before", sample::sound(3, "S1-M1"), sample::morning);
        job.exclude("before/S1-M1-01", "too loud", evening);
    }
    const Verification v = verify(shown.path, shown.digits());
    CHECK(v.confirmed());
    CHECK(v.kind == DigestKind::day);
    CHECK(v.covers == std::vector<Covered>{
                          CoveredDay{6, 10, JobFolder(shown.path, Access::read).evidence_lines()[5].path}});
    CHECK(v.added_since == std::vector<std::string>{"days/001.toml", "visits/before/sounds/003.wav",
                                                    "visits/before/takes/S1-M1-02.toml"});
    CHECK(v.left_out_since == std::vector<std::string>{"visits/before/takes/S1-M1-01.excluded.toml"});
    CHECK(v.notes.back() == VerifyNote(DigestOfDay{6, DayShown{"2026-11-25", "before", "days/001.toml"}}));
    // Also where nothing was noted: every n is tried.
    const EvidenceLines lines = JobFolder(shown.path, Access::read).evidence_lines();
    for (std::size_t n = 1; n <= lines.size(); ++n)
        CHECK(verify(shown.path, digest_of_first(lines, n)).kind == DigestKind::day);
    CHECK(verify(shown.path, digest_of_first(lines, 0)).matches == false);
}

TEST_CASE("lines of the list in another order contradict the note of the day") {
    const ShownDay shown;
    EvidenceLines lines = JobFolder(shown.path, Access::read).evidence_lines();
    std::swap(lines[0], lines[1]);
    std::ofstream(shown.path / manifest_name, std::ios::binary) << to_text(lines);
    const Verification v = verify(shown.path);
    CHECK(v.changed == std::vector<std::string>{std::string(manifest_name)});
    CHECK(v.notes[0] == VerifyNote(DayDiffers{6, "2026-11-25", "days/001.toml"}));
    CHECK(verify(shown.path, shown.digits()).matches == false);
}

TEST_CASE("a list shorter than a day's note says is a fault, and asking for digits then does no harm") {
    const ShownDay shown;
    EvidenceLines lines = JobFolder(shown.path, Access::read).evidence_lines();
    std::erase_if(lines, [](const EvidenceLine& line) {
        return line.path.ends_with("002.wav") || line.path.ends_with("S1-M2-01.toml");
    });
    std::ofstream(shown.path / manifest_name, std::ios::binary) << to_text(lines);
    JobFolder job(shown.path, Access::read);
    REQUIRE(job.days().back().lines > lines.size());
    CHECK(job.show_digits(evening));
    CHECK_FALSE(verify(shown.path).intact);
}

TEST_CASE("evidence that no list names is a changed list, a rest of an ended program is not") {
    const ShownDay shown;
    const std::string take = bytes_of(shown.path / "visits/before/takes/S1-M1-01.toml");
    shown.folder.write("job/visits/before/takes/.unfinished-S1-M1-02.toml", take);
    CHECK(verify(shown.path).intact);
    shown.folder.write("job/visits/before/takes/S1-M1-02.toml", take);
    const Verification v = verify(shown.path);
    CHECK(v.changed == std::vector<std::string>{std::string(manifest_name)});
    CHECK(v.notes[0] == VerifyNote(NotListed{"visits/before/takes/S1-M1-02.toml"}));
    std::ofstream(shown.path / manifest_name, std::ios::binary) << to_text({});
    CHECK_FALSE(verify(shown.path).intact);
}

TEST_CASE("of 500 random single-bit flips in a protocol, 500 are told against the day's digits") {
    // Source: property. The protocol is held byte for byte against the one that was kept on that day.
    const ShownDay shown;
    const fs::path file = shown.path / "visits/before/visit.toml";
    const std::string honest = bytes_of(file);
    std::mt19937_64 random(20261129);
    int told = 0;
    for (int i = 0; i < 500; ++i) {
        std::string bytes = honest;
        const std::size_t bit = random() % (8 * bytes.size());
        bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ (1 << (bit % 8)));
        std::ofstream(file, std::ios::binary) << bytes;
        const Verification v = verify(shown.path, shown.digits());
        const bool named =
            std::any_of(v.changed_since.begin(), v.changed_since.end(),
                        [](const ChangedText& text) { return text.file == "visits/before/visit.toml"; });
        const bool unreadable = v.unreadable == std::vector<std::string>{"visits/before/visit.toml"};
        told += named || unreadable ? 1 : 0;
    }
    CHECK(told == 500);
    std::ofstream(file, std::ios::binary) << honest;
    CHECK(verify(shown.path, shown.digits()).changed_since.empty());
}

TEST_CASE("a time stamp beside a day's note is named and no fault") {
    const ShownDay shown;
    std::ofstream(shown.path / "days/001.tsr") << "a reply of an authority";
    const Verification v = verify(shown.path);
    CHECK(v.intact);
    CHECK(v.added.empty());
    CHECK(v.time_stamps == std::vector<std::string>{"days/001.tsr"});
}
