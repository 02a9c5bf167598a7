// SPDX-License-Identifier: GPL-3.0-or-later
// What a search of the level asks of a job, and how what it found becomes a result.
#include "../job/sample.hpp"
#include "job/job_toml.hpp"
#include "work/level_of_job.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

JobDescription described() {
    JobDescription job = job_description(sample::job_toml, "job.toml"); // S1 from 35 Hz; 40 to 200 Hz asked
    job.sources.push_back({"S2", {1, 1, 1}, {}, "", {}});
    return job;
}

class NamedDevice : public SoundDevice {
  public:
    std::string name() const override { return "interface"; }
    std::string output_name() const override { return "amplifier"; }
    int output_channel() const override { return 3; }
    double rate_hz() const override { return 48000; }
    int inputs() const override { return 1; }
    bool simulated() const override { return true; }
    Recording play_and_record(const Signal&, const Watch&) override { return {}; }
};

} // namespace

TEST_CASE("the level is searched at the first position of the loudspeaker that is asked for") {
    CHECK(position_for_level(described(), {}).name() == "S1-M1");
    CHECK(position_for_level(described(), "S2").name() == "S2-M1");
    const std::string said = refusal([] { position_for_level(described(), "S9"); });
    CHECK(contains(said, "no source S9"));
    CHECK(contains(said, "S1"));
}

TEST_CASE("a search starts where the loudspeaker may, for the bands or modes of the question") {
    JobDescription job = described();
    LevelOptions options = level_options(job, "S1", -18);
    CHECK(options.limit_dbfs == -18);
    CHECK(options.start_hz == 35);
    CHECK(options.from_hz == 40);
    CHECK(options.to_hz == 200);
    CHECK(level_options(job, "S2", -18).start_hz == 35); // not known: as careful as with the other
    job.question = {JobQuestion::Kind::modes, 40, 200, {60, 45, 90}};
    options = level_options(job, "S1", -18);
    // Source: published. A third octave reaches 10^0.05 = 1.122 beyond its middle (IEC 61260-1).
    CHECK(options.from_hz == doctest::Approx(45 / 1.12));
    CHECK(options.to_hz == doctest::Approx(90 * 1.12));
}

TEST_CASE("what was found holds for this output, and a visit's takes count the return") {
    FoundLevel found;
    found.end = LevelEnd::clipping;
    found.fault = "a fault";
    found.steps = {{-24, -3, 41, 0.4}};
    found.bands = {{bands_between(BandWidth::octave, 63, 63).front(), -70, 41, 49, true}};
    found.sweep = Sweep{};
    const JobDescription job = described();
    const LevelReport report = level_report(found, level_options(job, "S2", -18), job, NamedDevice{}, "S2");
    CHECK(report.simulated);
    CHECK(report.device == "interface");
    CHECK(report.output == "amplifier");
    CHECK(report.output_channel == 3);
    CHECK(report.source == "S2");
    CHECK(report.end == LevelEnd::clipping);
    CHECK(report.limit_dbfs == -18);
    CHECK(report.aimed_db == aimed_decay_range_db);
    CHECK(report.steps.at(0).peak_dbfs == -3);
    CHECK(report.bands.at(0).predicted_db == 49);
    CHECK(report.takes == 2 * 3 + 1);
    CHECK(report.take_s == whole_duration_s(Sweep{}));
    found.end = LevelEnd::limit;
    found.sweep.reset();
    const LevelReport other = level_report(found, {}, job, NamedDevice{}, "S1");
    CHECK(other.end == LevelEnd::limit);
    CHECK(other.take_s == 0);
}
