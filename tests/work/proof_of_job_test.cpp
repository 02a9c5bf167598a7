// SPDX-License-Identifier: GPL-3.0-or-later
// Everything that the record prints, from the files of a job.
#include "response_job.hpp"
#include "work/proof_of_job.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

ProofInput proof_of(const ResponseJob& job, const std::vector<std::string>& later) {
    Unwatched unwatched;
    return proof_input(job.open(), verify(job.path()), "before", later, Units::metric, unwatched);
}

} // namespace

TEST_CASE(
    "the record's input holds the comparison, the evidence, what was built otherwise, and what is not ours") {
    ResponseJob job;
    job.describe(sample::job_toml, "open_sides = true\n",
                 "open_sides = true\n[trap.built]\n[[trap.built.layer]]\nmaterial = \"felt of mine\"\n"
                 "thickness = \"6 cm\"\nflow_resistivity = \"9 kPa.s/m2\"\n");
    job.measure("before", {"S1-M1"}, 0.8, "2026-11-25T10:00:00+01:00");
    job.promise("2026-11-26T10:00:00+01:00");
    job.measure("after", {"S1-M1"}, 0.5, "2026-12-02T10:00:00+01:00");
    const ProofInput input = proof_of(job, {"after"});
    CHECK(input.verification.intact);
    CHECK(input.comparison.before == "before");
    CHECK(input.comparison.after == "after");
    CHECK(input.shown_position == "S1-M1");
    CHECK(input.waterfall);
    CHECK(input.foreign_materials == std::vector<std::string>{"felt of mine"});
    CHECK(input.evidence.size() == job.open().evidence().size());
    REQUIRE(input.promise);
    REQUIRE(input.since_promise);
    CHECK(!input.since_promise->moved());
    CHECK(input.digits.size() == 2);
    CHECK(!input.as_built); // nobody worked it out
    JobFolder(job.path(), Access::write)
        .store_prediction("nominal_hz,predicted_s\n1000,0.6\n", std::string(computed_as_built),
                          sample::morning);
    CHECK(proof_of(job, {"after"}).as_built->file == "predictions/001.csv");
    // job.toml names a photo that is not there.
    REQUIRE(input.photos.size() == 1);
    CHECK(input.photos[0].name == "m2.jpg");
    CHECK(!input.photos[0].failure.empty());
    CHECK(input.responses_made == 0); // they came as responses
    CHECK(!input.kept_differ);
    const auto files = response_files(job.open(), input.comparison);
    REQUIRE(files.size() == 2);
    CHECK(files[0].first == "response-before-S1-M1-01.wav");
    CHECK(!files[0].second.empty());
}
