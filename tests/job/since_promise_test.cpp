// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/since_promise.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

const Occasion evening{"2026-11-25T18:00:00+01:00", "ebbmark 0.1.0"};
const Occasion later{"2026-12-01T10:00:00+01:00", "ebbmark 0.1.0"};

} // namespace

TEST_CASE("what was added, left out or changed of an earlier visit after the promise is told apart from "
          "later visits") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
    const StoredPromise promise = job.promise(sample::morning);
    CHECK_FALSE(since_promise(job, promise).moved());
    job.keep("after", sample::sound(3, "S1-M1"), later);
    job.exclude("after/S1-M1-01", "a lorry", later);
    SincePromise since = since_promise(job, promise);
    CHECK_FALSE(since.moved());
    CHECK(since.later_takes == std::vector<std::string>{"after/S1-M1-01"});
    CHECK(since.later_left_out == std::vector<std::string>{"after/S1-M1-01"});
    job.keep("before", sample::sound(4, "S1-M1"), later);
    job.exclude("before/S1-M1-01", "too good", later);
    folder.write("job/visits/before/visit.toml", visit_template("2026-11-24"));
    const JobFolder again(path, Access::read);
    since = since_promise(again, promise);
    CHECK(since.moved());
    CHECK(since.added == std::vector<std::string>{"before/S1-M1-02"});
    CHECK(since.left_out == std::vector<std::string>{"before/S1-M1-01"});
    REQUIRE(since.protocols.size() == 1);
    CHECK(since.protocols[0].keys == std::vector<std::string>{"visit.date"});
}

TEST_CASE("a promise keeps the protocols as they stand, so that a day's filling in is no change after it") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M1"), sample::morning);
    folder.write("job/visits/before/visit.toml", visit_template("2026-11-25") + "# filled in\n");
    JobFolder job(path, Access::write);
    const StoredPromise promise = job.promise(sample::morning);
    CHECK(promise.evidence.contains("visits/before/protocols/002.toml"));
    CHECK_FALSE(since_promise(job, promise).moved());
}

TEST_CASE(
    "digits of a visit's day count where they cover all of its takes, and say whether it was that day") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    CHECK_FALSE(digits_of(job, "before").day);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    CHECK_FALSE(digits_of(job, "before").day);
    job.show_digits(evening);
    CHECK(digits_of(job, "before").same_day);
    job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
    CHECK_FALSE(digits_of(job, "before").day); // one more take than was shown
    job.show_digits(later);
    const VisitDigits digits = digits_of(job, "before");
    REQUIRE(digits.day);
    CHECK(digits.day->file == "days/002.toml");
    CHECK_FALSE(digits.same_day);
}
