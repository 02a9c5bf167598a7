// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"
#include "job/kept_texts.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("the last file of a folder, and the next one's name, come from the list") {
    const EvidenceLines lines = {
        {"a/001.toml", "1"}, {"a/b/001.toml", "2"}, {"a/002.toml", "3"}, {"ab/1", "4"}};
    CHECK(last_in(lines, "a", 4)->path == "a/002.toml");
    CHECK(last_in(lines, "a", 2)->path == "a/001.toml");
    CHECK_FALSE(last_in(lines, "a", 0));
    CHECK_FALSE(last_in(lines, "b", 4));
    CHECK(next_in(lines, "a") == "a/003.toml");
    CHECK(next_in(lines, "c") == "c/001.toml");
}

TEST_CASE("keys of a protocol that differ are named once, with their table") {
    VisitProtocol then, now;
    then.date = now.date = "2026-11-25";
    then.temperature_end_c = 21;
    now.doors = "closed";
    now.humidity_end_percent = 50;
    CHECK(differing_keys(then, now) ==
          std::vector<std::string>{"air.temperature_end", "room.doors", "air.humidity_end"});
    CHECK(differing_keys(now, now).empty());
}

TEST_CASE("what was built, title and contractor are told beside the plan") {
    const JobDescription then = job_description(sample::job_toml, "job.toml");
    JobDescription now = then;
    CHECK(differing_keys(then, now).empty());
    now.title = "Another";
    now.contractor = "C. Other";
    now.room.target = "";
    now.traps[0].built = BuiltTrap{{}, {}, 12.0};
    CHECK(differing_keys(then, now) == std::vector<std::string>{"trap.built of \"rear wall\"", "job.title",
                                                                "job.contractor", "room.target"});
}

TEST_CASE("each take says with which protocol and description it was kept, and a later change is told") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
        const Take& take = job.take("before/S1-M1-01");
        CHECK(take.protocol == "visits/before/protocols/001.toml");
        CHECK(take.description == "descriptions/001.toml");
        CHECK(job.changed_since(job.evidence_lines().size()).empty());
    }
    CHECK(verify(path).changed_since.empty());
    const std::string kept = bytes_of(path / "descriptions/001.toml");
    for (const char* secret : {"A. Client", "Invented Street", "2026-17"})
        CHECK_FALSE(contains(kept, secret));
    std::string text = sample::job_toml;
    text.replace(text.find("12 cm"), 5, "6 cm");
    folder.write("job/job.toml", text);
    const Verification v = verify(path);
    CHECK(v.intact);
    REQUIRE(v.changed_since.size() == 1);
    CHECK(v.changed_since[0].file == "job.toml");
    CHECK(v.changed_since[0].kept == "descriptions/001.toml");
    REQUIRE(v.changed_since[0].plan.size() == 1);
    CHECK(v.changed_since[0].plan[0].name == "rear wall");
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(2, "S1-M2"), sample::morning);
    CHECK(job.take("before/S1-M2-01").description == "descriptions/002.toml");
    CHECK(job.take("before/S1-M2-01").protocol == "visits/before/protocols/001.toml");
    CHECK(verify(path).changed_since.empty());
}

TEST_CASE("whatever a promise fixed in job.toml is told where it is otherwise now") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
        job.promise(sample::morning);
    }
    CHECK(verify(path).otherwise_than_promised.empty());
    std::string text = sample::job_toml;
    text.replace(text.find("at_least_percent = 20"), 21, "at_least_percent = 10");
    folder.write("job/job.toml", text);
    const Verification v = verify(path);
    REQUIRE(v.otherwise_than_promised.size() == 1);
    CHECK(v.otherwise_than_promised[0].part == PlanPart::acceptance);
}

TEST_CASE("where what stood there is damaged, too, the change is told without its keys") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M1"), sample::morning);
    std::string text = sample::job_toml;
    text.replace(text.find("12 cm"), 5, "6 cm");
    folder.write("job/job.toml", text);
    folder.write("job/descriptions/001.toml", "damaged");
    const Verification v = verify(path);
    CHECK(v.changed == std::vector<std::string>{"descriptions/001.toml"});
    REQUIRE(v.changed_since.size() == 1);
    CHECK(v.changed_since[0].file == "job.toml");
    CHECK(v.changed_since[0].plan.empty());
}
