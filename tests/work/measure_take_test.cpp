// SPDX-License-Identifier: GPL-3.0-or-later
// A take on a device that the test is: whatever it does, what came is kept and told, or refused with the
// mend.
#include "../job/sample.hpp"
#include "base/error.hpp"
#include "echo_device.hpp"
#include "work/measure_take.hpp"
#include "work/safe_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

struct Bench {
    TestFolder folder;
    std::filesystem::path path = sample::new_job(folder);
    Echo device;
    AnalysedJob job{path, Access::write};

    MeasuredTake measure(const std::string& position = "S1-M1", bool again = false) {
        return measure_take(job, device, brief_sweep, {"before", {}, {}, again, 1}, parse_position(position),
                            {}, sample::morning, [](const Meter&) { return true; });
    }
};

std::string names_of(const std::vector<QualityCheck>& checks, CheckOutcome outcome) {
    std::string names;
    for (const QualityCheck& check : checks)
        if (check.outcome == outcome)
            names += std::string(code(check.name)) + ";";
    return names;
}

} // namespace

TEST_CASE("a take that is heard is accepted and kept with its sweep and device") {
    Bench bench;
    const MeasuredTake measured = bench.measure();
    CHECK(measured.kept.take == "before/S1-M1-01");
    CHECK(measured.kept.report.command == "take");
    CAPTURE(names_of(measured.kept.report.checks, CheckOutcome::rejected));
    CHECK(measured.kept.report.accepted);
    // Source: closed form, the echo's own delay of 480 samples after 0.5 s of silence.
    CHECK(*measured.kept.report.delay_s == doctest::Approx(0.51).epsilon(1e-4));
    const Take& kept = bench.job.take("before/S1-M1-01");
    CHECK(kept.device == "echo");
    CHECK(kept.sweep == brief_sweep);
    CHECK(!kept.simulated);
    CHECK(bench.device.last.visit == "before");
    CHECK(rescued_in(bench.path).empty());
    CHECK(contains(refusal([&] { bench.measure("S1-M2"); }), "the same sound counts once"));
    bench.device.gain = 0.31; // no two recordings are the same
    CHECK(bench.measure("S1-M1", true).kept.take == "before/S1-M1-return-01");
}

TEST_CASE("what a virtual device gives is marked simulated") {
    Bench bench;
    bench.device.is_simulated = true;
    CHECK(bench.measure().kept.report.simulated);
    CHECK(bench.job.take("before/S1-M1-01").simulated);
}

TEST_CASE("a take that broke off is kept and rejected, with what is lost and why") {
    Bench bench;
    bench.device.heard = 0.5;
    bench.device.ending = Ending::failed;
    const MeasuredTake failed = bench.measure();
    CHECK(!failed.kept.report.accepted);
    CHECK(failed.fault == "the cable was pulled");
    REQUIRE(failed.kept.report.checks.size() == 1);
    CHECK(failed.kept.report.checks[0].name == CheckName::lost_samples);
    CHECK(failed.kept.report.checks[0].figure == static_cast<double>(whole_signal(brief_sweep).size()) / 2);
    CHECK(failed.kept.report.checks[0].advice == "the cable was pulled");
    CHECK(!bench.job.take("before/S1-M1-01").accepted);
    bench.device.ending = Ending::interrupted;
    bench.device.gain = 0.31;
    CHECK(contains(bench.measure().kept.report.checks[0].advice, "stopped by hand"));
}

TEST_CASE("a take without the sweep in it is rejected, not lost") {
    Bench bench;
    bench.device.gain = 0;
    const MeasuredTake measured = bench.measure();
    CHECK(!measured.kept.report.accepted);
    CHECK(contains(names_of(measured.kept.report.checks, CheckOutcome::rejected), "sweep found;"));
    CHECK(measured.kept.take == "before/S1-M1-01");
}

TEST_CASE("a device that gave nothing is an error with its own words, and leaves no take") {
    Bench bench;
    bench.device.heard = 0;
    bench.device.ending = Ending::failed;
    CHECK(contains(refusal([&] { bench.measure(); }), "the cable was pulled"));
    bench.device.ending = Ending::interrupted;
    try {
        bench.measure();
        FAIL("nothing was recorded");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::interrupted);
    }
    CHECK(bench.job.takes().empty());
}

TEST_CASE("what the driver said is noted with its time, and counted") {
    Bench bench;
    bench.device.messages = {{48000, "input overflow"}, {96000, "input overflow"}, {96001, "again"}};
    const auto notes = bench.measure().kept.report.notes;
    CHECK(std::find(notes.begin(), notes.end(), Note(DriverReported{"input overflow", 1, 2})) != notes.end());
}

TEST_CASE("a recording that the job refuses lies beside it, with the command that brings it in") {
    Bench bench;
    const std::string said = refusal([&] { bench.measure("S1-M9"); });
    CHECK(contains(said, "The recording is safe in "));
    CHECK(contains(said, "ebbmark import"));
    CHECK(rescued_in(bench.path).size() == 1);
    CHECK(bench.job.takes().empty());
}
