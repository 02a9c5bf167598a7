// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/fixed_plan.hpp"
#include "job/job_toml.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

JobDescription described() {
    return job_description(sample::job_toml, "job.toml");
}

StoredPromise promised() {
    StoredPromise promise;
    promise.file = "promises/001.toml";
    promise.made_at = "2026-11-25T10:00:00+01:00";
    promise.job = described();
    return promise;
}

FixedQuestion fixed_by(const StoredPromise& promise) {
    return {promise.job.question, promise.job.acceptance, promise.made_at, promise.file};
}

} // namespace

TEST_CASE("what a promise fixed counts, what was built and photos are as job.toml has them") {
    const StoredPromise promise = promised();
    JobDescription now = described();
    now.question.to_hz = 100;
    now.acceptance->at_least_percent = 5;
    now.microphones[0].listening = false;
    now.microphones[1].photo = "new.jpg";
    now.traps[0].layers[1].thickness_m = 0.05;
    now.traps[0].built = BuiltTrap{{}, {}, 4.2};
    now.invoice = "another";
    const JobDescription counts = as_fixed(now, fixed_by(promise), &promise);
    CHECK(counts.question.to_hz == 200);
    CHECK(counts.acceptance->at_least_percent == 20);
    CHECK(counts.microphones[0].listening);
    CHECK(counts.microphones[1].photo == "new.jpg");
    CHECK(counts.traps[0].layers == promise.job.traps[0].layers);
    CHECK(counts.traps[0].built->wool_mass_kg == 4.2);
    CHECK(counts.invoice == "another");
    const auto differences = plan_differences(promise.job, now);
    REQUIRE(differences.size() == 4);
    CHECK(differences[0] == PlanDifference{PlanPart::question, ""});
    CHECK(differences[1] == PlanDifference{PlanPart::acceptance, ""});
    CHECK(differences[2] == PlanDifference{PlanPart::microphone, "M1"});
    CHECK(differences[3] == PlanDifference{PlanPart::trap, "rear wall"});
}

TEST_CASE("the size of the room is the promised one, and job.toml's only where none was promised") {
    const JobDescription now = job_description(sample::job_toml, "job.toml");
    StoredPromise promise;
    promise.job = now;
    promise.job.room = {};
    promise.job.room.volume_m3 = 50;
    promise.job.room.target = "";
    JobDescription counts = as_fixed(now, fixed_by(promise), &promise);
    CHECK(counts.room.volume_m3 == 50);
    CHECK_FALSE(counts.room.box);
    CHECK(counts.room.target == now.room.target);
    promise.job.room = {};
    counts = as_fixed(now, fixed_by(promise), &promise);
    CHECK(counts.room.volume_m3 == now.room.volume_m3);
}

TEST_CASE("places and traps that only one side has are differences, and a promised place stays") {
    StoredPromise promise = promised();
    JobDescription now = described();
    now.microphones.push_back({"M4", {1, 1, 1}, {}, "", true});
    now.microphones.erase(now.microphones.begin());
    now.traps.clear();
    const JobDescription counts = as_fixed(now, fixed_by(promise), &promise);
    CHECK(counts.microphone("M1"));
    CHECK(counts.microphone("M4"));
    CHECK(counts.traps.size() == 1);
    const auto differences = plan_differences(promise.job, now);
    REQUIRE(differences.size() == 3);
    CHECK_FALSE(differences[0].now);
    CHECK_FALSE(differences[1].fixed);
    CHECK_FALSE(differences[2].now);
}

TEST_CASE("without a promise question and acceptance alone are fixed, a later promise does not count") {
    JobDescription now = described();
    FixedQuestion fixed{now.question, {}, "2026-11-26T10:00:00+01:00", ""};
    fixed.question.to_hz = 80;
    now.traps[0].layers[1].thickness_m = 0.05;
    const std::vector<StoredPromise> promises = {promised()};
    CHECK(promise_that_counts(fixed, promises) == nullptr);
    CHECK(promise_that_counts({}, promises) == &promises[0]);
    CHECK(promise_that_counts({}, {}) == nullptr);
    CHECK(promise_that_counts(fixed_by(promises[0]), promises) == &promises[0]);
    const JobDescription counts = as_fixed(now, fixed, nullptr);
    CHECK(counts.question.to_hz == 80);
    CHECK_FALSE(counts.acceptance.has_value());
    CHECK(counts.traps[0].layers[1].thickness_m == 0.05);
}
