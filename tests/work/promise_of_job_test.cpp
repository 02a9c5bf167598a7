// SPDX-License-Identifier: GPL-3.0-or-later
#include "response_job.hpp"
#include "work/compared_visits.hpp"
#include "work/promise_of_job.hpp"

#include <doctest/doctest.h>
#include <fmt/ranges.h>

#include <algorithm>

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
    const auto at_1_khz = std::find_if(input.before_s.begin(), input.before_s.end(),
                                       [](const auto& one) { return one.first.nominal_hz == 1000; });
    REQUIRE(at_1_khz != input.before_s.end());
    // Source: closed form, the noise's own decay. 15 %: the mean of two values with B = 232 Hz is certain to
    // 0.88 sqrt(1.19/(B T))/sqrt(2) = 6.3 % (ISO 3382-2, from memory).
    CHECK(*at_1_khz->second == doctest::Approx(0.5).epsilon(0.15));
}

TEST_CASE("promise and record give the same decay before, that of the places where somebody listens") {
    ResponseJob job; // M1 is where somebody listens
    job.measure("before", {"S1-M1"}, 0.8, "2026-11-25T10:00:00+01:00");
    job.measure("before", {"S1-M2"}, 0.5, "2026-11-25T10:10:00+01:00");
    const PromiseInput promised = input_of(job);
    CHECK(promised.places == std::vector<std::string>{"S1-M1"});
    CHECK(promised.positions == 2);
    job.measure("after", {"S1-M1", "S1-M2"}, 0.4, "2026-11-26T10:00:00+01:00");
    Unwatched unwatched;
    const CompareReport report = compare_visits(job.open(), "before", {"after"}, {}, unwatched);
    int compared = 0;
    for (const BandFinding& band : report.comparison.bands)
        for (const auto& [asked, before_s] : promised.before_s)
            if (asked == band.band && band.before_s) {
                CAPTURE(band.band.nominal_hz);
                CHECK(*band.before_s == doctest::Approx(*before_s));
                CHECK(fmt::format("{}", fmt::join(band.places, " ")) == "S1-M1");
                ++compared;
            }
    CHECK(compared > 10);
}

TEST_CASE("a promise before any measurement has no decay to show") {
    ResponseJob job;
    CHECK(input_of(job).before_s.empty());
}
