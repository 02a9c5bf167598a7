// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "job/stored_prediction.hpp"
#include "job/verify.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

const std::string table = "nominal_hz,predicted_s\n63,0.5\n80,0.4\n";
const std::string better = "nominal_hz,predicted_s\n63,0.6\n80,0.4\n";

std::string refusal(JobFolder& job, const std::string& bytes) {
    try {
        job.store_prediction(bytes, "plans/p.csv", sample::morning);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::unusable);
        return error.what();
    }
    return "accepted";
}

} // namespace

TEST_CASE("a prediction is kept with its time and hash, and is evidence") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
        const std::string digest = job.digest();
        const StoredPrediction& stored = job.store_prediction(table, "plans/p.csv", sample::morning);
        CHECK(stored.file == "predictions/001.csv");
        CHECK(stored.original_name == "p.csv");
        CHECK(stored.stored_at == sample::morning.time);
        CHECK(stored.sha256.size() == 64);
        CHECK(job.digest() != digest);
    }
    const JobFolder again(path, Access::read);
    REQUIRE(again.predictions().size() == 1);
    CHECK(again.predictions()[0].prediction.bands.size() == 2);
    CHECK(again.predictions()[0].visits == std::vector<std::string>{"before"});
    CHECK(verify(path, "").intact);
    std::ofstream(path / "predictions/001.csv") << better;
    const Verification changed = verify(path, "");
    CHECK(!changed.intact);
    CHECK(changed.changed == std::vector<std::string>{"predictions/001.csv"});
    CHECK_THROWS_AS(JobFolder(path, Access::read), Error);
}

TEST_CASE(
    "the last prediction stored before a visit counts for it, a later one only where there is no other") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    CHECK(prediction_for(job.predictions(), "after") == nullptr);
    job.store_prediction(table, "p.csv", sample::morning);
    job.store_prediction(better, "p.csv", sample::morning);
    job.keep("after", sample::sound(2, "S1-M1"), sample::morning);
    job.store_prediction("nominal_hz,predicted_s\n63,0.7\n", "p.csv", sample::morning);
    const StoredPrediction* counts = prediction_for(job.predictions(), "after");
    REQUIRE(counts);
    CHECK(counts->file == "predictions/002.csv");
    CHECK(counts->is_before("after"));
    // For a visit that is still to come the third is the latest.
    CHECK(prediction_for(job.predictions(), "after-2")->file == "predictions/003.csv");
    const std::vector<StoredPrediction> only_late = {job.predictions().back()};
    CHECK(!prediction_for(only_late, "after")->is_before("after"));
}

TEST_CASE("a forecast of what was built explains and is never held against a visit, nor promised") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    job.store_prediction(table, "p.csv", sample::morning);
    job.store_prediction(better, std::string(computed_as_built), sample::morning);
    CHECK(prediction_for(job.predictions(), "after")->file == "predictions/001.csv");
    CHECK(last_planned(job.predictions())->file == "predictions/001.csv");
    REQUIRE(last_as_built(job.predictions()));
    CHECK(last_as_built(job.predictions())->file == "predictions/002.csv");
    CHECK(job.promise(sample::morning).prediction == "predictions/001.csv");
    const std::vector<StoredPrediction> only_built = {job.predictions().back()};
    CHECK(prediction_for(only_built, "after") == nullptr);
}

TEST_CASE("a wrong table, or one that is there already, is refused and nothing is kept") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    CHECK(refusal(job, "nominal_hz,predicted_s\n63,0.5 s\n").find("plans/p.csv, line 2") !=
          std::string::npos);
    CHECK(job.predictions().empty());
    job.store_prediction(table, "p.csv", sample::morning);
    CHECK(refusal(job, table).find("is stored already") != std::string::npos);
    CHECK(job.predictions().size() == 1);
}
