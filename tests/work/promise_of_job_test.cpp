// SPDX-License-Identifier: GPL-3.0-or-later
#include "response_job.hpp"
#include "work/promise_of_job.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

PromiseInput input_of(ResponseJob& job) {
    Unwatched unwatched;
    JobFolder(job.path(), Access::write).promise(sample::morning);
    const AnalysedJob opened = job.open();
    return promise_input(opened, opened.promises().back(), Units::metric, unwatched);
}

} // namespace

TEST_CASE("the page for the offer brings the decay before the build, and the client as job.toml has it now") {
    ResponseJob job;
    job.measure("before", {"S1-M1", "S1-M2"}, 0.5, "2026-11-25T10:00:00+01:00");
    const PromiseInput input = input_of(job);
    CHECK(input.client == "A. Client");
    // Source: closed form, the noise's own decay; two values at 1 kHz are certain to 5 %, so 15 %.
    for (const auto& [band, t20_s] : input.before_s)
        if (band.nominal_hz == 1000)
            CHECK(*t20_s == doctest::Approx(0.5).epsilon(0.15));
    CHECK(input.before_s.size() > 10);
}

TEST_CASE("a promise before any measurement has no decay to show") {
    ResponseJob job;
    CHECK(input_of(job).before_s.empty());
}
