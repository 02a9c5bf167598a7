// SPDX-License-Identifier: GPL-3.0-or-later
#include "response_job.hpp"
#include "work/visit_plan.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

std::string listed(const std::vector<PlannedTake>& takes) {
    std::string text;
    for (const PlannedTake& take : takes)
        text += take.position.name() + (take.is_return ? " again " : " ");
    return text;
}

} // namespace

TEST_CASE("a visit lacks what was not measured yet, and at its end the return to its first position") {
    ResponseJob job;
    CHECK(listed(missing_takes(job.open(), "before")) == "S1-M1 S1-M2 S1-M3 S1-M1 again ");
    job.measure("before", {"S1-M2"}, 0.5, "2026-11-25T10:00:00+01:00");
    CHECK(listed(missing_takes(job.open(), "before")) == "S1-M1 S1-M3 S1-M2 again ");
    CHECK(listed(missing_takes(job.open(), "after")) == "S1-M1 S1-M2 S1-M3 S1-M1 again ");
}

TEST_CASE("a place that job.toml does not name is refused with one that it does") {
    ResponseJob job;
    const std::string said = refusal([&] {
        situation_at(job.open().description(), "before", {{"S1", "M9"}}, 1);
    });
    CHECK(contains(said, "no position S1-M9"));
    CHECK(contains(said, "such as S1-M1"));
    CHECK(situation_at(job.open().description(), "before", {{"S1", "M1"}, true}, 3).take == 3);
}
