// SPDX-License-Identifier: GPL-3.0-or-later
// What `next` makes of a job: steps, what was put right, what waits, and the digits of the day.
#include "response_job.hpp"
#include "work/next_of_job.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

NextReport next_of(const ResponseJob& job, const std::string& time, DigitsShown digits) {
    AnalysedJob open(job.path(), Access::write);
    Unwatched unwatched;
    return next_report(open, "JOB", {time, "ebbmark test"}, digits, unwatched);
}

} // namespace

TEST_CASE("digits of the day cover all that was kept, and are noted once") {
    ResponseJob job;
    job.measure("before", {"S1-M1", "S1-M2"}, 0.8, "2026-11-25T10:00:00+01:00");
    const NextReport first = next_of(job, "2026-11-25T11:00:00+01:00", DigitsShown::always);
    REQUIRE(first.digits);
    CHECK(first.digits->visit == "before");
    CHECK(job.open().days().size() == 1);
    CHECK(first.digits->sha256 == digest_of_first(job.open().evidence_lines(), first.digits->lines));
    const NextReport again = next_of(job, "2026-11-25T12:00:00+01:00", DigitsShown::always);
    CHECK(again.digits->sha256 == first.digits->sha256);
    CHECK(job.open().days().size() == 1);
    // A visit that lacks positions is not at its end.
    CHECK(!next_of(job, "2026-11-25T12:00:00+01:00", DigitsShown::at_end_of_visit).digits);
}

TEST_CASE("where the evidence is not intact no digits are shown, and the faults are the steps' reason") {
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.8, "2026-11-25T10:00:00+01:00");
    std::ofstream(job.path() / "question.toml") << "x";
    std::filesystem::remove(job.path() / "question.toml");
    std::ofstream(job.path() / "visits/before/takes/S1-M1-02.toml", std::ios::binary)
        << bytes_of(job.path() / "visits/before/takes/S1-M1-01.toml"); // in no list
    const NextReport report = next_of(job, "2026-11-25T11:00:00+01:00", DigitsShown::always);
    CHECK(!report.digits);
    CHECK(job.open().days().empty());
}

TEST_CASE("what was put right on opening, and recordings that wait, are told first") {
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.8, "2026-11-25T10:00:00+01:00");
    const auto sound = job.path() / "visits/before/sounds/001.wav";
    std::filesystem::rename(sound, waiting_place(sound));
    std::ofstream(job.path() / "rescued-before-S1-M2-0123456789ab.toml") << "[sweep]\n";
    std::ofstream(job.path() / "rescued-before-S1-M2-0123456789ab.wav") << "x";
    const NextReport report = next_of(job, "2026-11-25T11:00:00+01:00", DigitsShown::at_end_of_visit);
    REQUIRE(!report.notes.empty());
    CHECK(report.notes.front() == Note(RepairNote(KeepingFinished{"visits/before/sounds/001.wav"})));
    CHECK(std::find(report.notes.begin(), report.notes.end(),
                    Note(RecordingWaits{"rescued-before-S1-M2-0123456789ab.toml"})) != report.notes.end());
}
