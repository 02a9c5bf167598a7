// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/results.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a result is current only for what it was made from, and only while it is whole") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    const MadeFrom from{job.digest(), "0.1.0"};
    CHECK_FALSE(current_result(job, "a.wav", from));
    const auto path = write_result(job, "a.wav", "sound", from);
    CHECK(bytes_of(path) == "sound");
    CHECK(current_result(job, "a.wav", from) == "sound");
    CHECK_FALSE(current_result(job, "a.wav", {from.digest, "0.2.0"}));
    CHECK_FALSE(current_result(job, "a.wav", {std::string(64, '0'), "0.1.0"}));
    write_result(job, "a.wav", "louder", from);
    CHECK(current_result(job, "a.wav", from) == "louder");
    std::ofstream(path) << "Louder";
    CHECK_FALSE(current_result(job, "a.wav", from));
}

TEST_CASE("results are no evidence and are not called added") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    const std::string digest = job.digest();
    write_result(job, "a.wav", "sound", {digest, "0.1.0"});
    CHECK(job.digest() == digest);
    CHECK(verify(job.path(), digest).intact);
    CHECK(verify(job.path()).added.empty());
}

TEST_CASE("a result's name stays in the folder, and writing needs the lock") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    CHECK(contains(refusal([&] { write_result(JobFolder(path, Access::write), "../a.wav", "", {}); }),
                   "is no plain file name"));
    CHECK_THROWS_AS(write_result(JobFolder(path, Access::read), "a.wav", "", {}), Error);
}

TEST_CASE("the digest of a take does not change with other takes, but with its own checks and place") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    const std::string digest = digest_of(job.take("before/S1-M1-01"));
    job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
    CHECK(digest_of(job.take("before/S1-M1-01")) == digest);
    Take other = job.take("before/S1-M1-01");
    other.channel = 2;
    CHECK(digest_of(other) != digest);
}
