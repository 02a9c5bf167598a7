// SPDX-License-Identifier: GPL-3.0-or-later
// Small reports: bundle, demo, devices, level, sweep, steps of a job.
#include "proof/reports/band_rows.hpp"
#include "proof/reports/bundle_report.hpp"
#include "proof/reports/decay_report.hpp"
#include "proof/reports/demo_report.hpp"
#include "proof/reports/device_reports.hpp"
#include "proof/reports/job_reports.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/reports/sweep_report.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;
using samples::has;

TEST_CASE("JSON numbers: whole ones without decimals, others rounded, none where there is none") {
    CHECK(json_number(3.0).dump() == "3");
    CHECK(json_number(0.123456).dump() == "0.1235");
    CHECK(json_number(0.123456, 2).dump() == "0.12");
    CHECK(json_number({}).is_null());
    CHECK(json_number(INFINITY).is_null());
    CHECK(json_number(std::nan("")).is_null());
    Json object, empty = Json::object();
    add_with_interval(object, empty, "t20", "s", {0.6, 0.5, 0.7, {}});
    add_measured(object, empty, "t30", "s", Measured::none(Empty::noise));
    CHECK(object.dump() == R"({"t20_s":0.6,"t20_low_s":0.5,"t20_high_s":0.7,"t30_s":null})");
    CHECK(empty.dump() == R"({"t30_s":"noise"})");
    CHECK(json_object("x", Origin::simulated).dump() == R"({"ebbmark":"x","schema":1,"simulated":true})");
    CHECK(json_text(Json("a\xff")) == "\"a\ufffd\"\n");
    const std::string turned = "gnp\u202e.exe, \u00fc, \U0001fffe";
    CHECK(json_text(Json(turned)) == "\"gnp\\u202e.exe, \u00fc, \\ud83f\\udffe\"\n");
    CHECK(Json::parse(json_text(Json(turned))) == turned);
}

TEST_CASE("one band: interval ends in their fields, cells and columns") {
    BandDecay band = samples::full_band(bands_between(BandWidth::third, 63, 63).front());
    band.notes = {NoiseChanges{6}, NoiseChanges{6.2}, SteadyTone{}};
    const Json json = band_json(band);
    CHECK(json["t20_s"] == 0.64);
    CHECK(json["t20_low_s"] == 0.55);
    CHECK(json["t20_high_s"] == 0.76);
    CHECK(json["empty"]["t30_s"] == "noise");
    const std::string head = band_csv_head(), cells = band_csv(band);
    CHECK(std::count(head.begin(), head.end(), ',') == std::count(cells.begin(), cells.end(), ','));
    CHECK(has(head, ",t20_s,t20_low_s,t20_high_s,"));
    CHECK(has(cells, ",0.64,0.55,0.76,"));
    CHECK(has(cells, "t30_s:noise curvature_percent:noise"));
    CHECK(has(band_table({band}), "T20 0.55-0.76"));
    CHECK(has(band_table({band}, {{"more", "x", {"7.7"}}}), "7.7"));
    CHECK(reasons_in({band}) == std::set<Empty>{Empty::noise});
    const DecayEntry entry{"a.wav", 2, 48000, {0.0213, {band}}};
    CHECK(response_json(entry)["channel"] == 2);
    CHECK(response_json(entry)["bands"][0] == json);
    CHECK(has(response_text("the title", entry.decay), "the title"));
    CHECK(has(response_text("the title", entry.decay), ": The noise changes by 6 dB"));
    CHECK(json["notes"].size() == 2); // two of them read the same
}

TEST_CASE("a bundle's report and README bear digest, version and what is wrong") {
    BundleReport report;
    report.archive = "out.zip";
    report.digest = samples::invented_hash('d');
    report.version = "0.1.0";
    report.files = {"job/job.toml", "a,b.txt"};
    report.bytes = 2'340'000;
    const std::string readme = bundle_readme(report);
    CHECK(has(readme, "ebbmark verify job --digest " + report.digest));
    CHECK(has(readme, "With Ebbmark 0.1.0"));
    CHECK(has(readme, bundle_findings_name));
    CHECK(!has(readme, "out.zip")); // the same wherever the archive lies
    CHECK(!has(readme, "SIMULATED"));
    const Json json = Json::parse(to_json(report));
    CHECK(json["files"].size() == 2);
    CHECK(json["bytes"] == 2340000);
    CHECK(json["simulated"] == false);
    CHECK(to_csv(report) == "file\njob/job.toml\n\"a,b.txt\"\n");
    CHECK(has(to_text(report), "out.zip: 2 files, 2.3 MB."));
    CHECK(!has(to_text(report), "SIMULATED"));
    report.simulated = true;
    report.notes = {KeptResponsesDiffer{{"results/one.wav"}}};
    CHECK(bundle_readme(report).starts_with("SIMULATED"));
    CHECK(has(bundle_readme(report), "results/one.wav"));
    CHECK(to_text(report).starts_with("SIMULATED"));
    CHECK(has(to_text(report), "results/one.wav"));
    CHECK(Json::parse(to_json(report))["simulated"] == true);
    CHECK(Json::parse(to_json(report))["notes"].size() == 1);
}

TEST_CASE("the demo gives means over positions with a value, and how many intervals hold") {
    DemoReport report;
    report.job = "demo-job";
    const Band band = bands_between(BandWidth::third, 63, 63).front();
    report.truth = {{"before", band, 3, 1, 1, 1.92, 1.86}, {"after", band, 0, 0, 1, 0, 0}};
    report.comparison = samples::whole_comparison();
    const Json json = Json::parse(to_json(report));
    CHECK(json["simulated"] == true); // always
    REQUIRE(json["truth"].size() == 2);
    CHECK(json["truth"][0]["inside"] == 1);
    CHECK(json["truth"][0]["positions"] == 3);
    CHECK(json["truth"][0]["without_value"] == 1);
    CHECK(json["truth"][0]["measured_s"] == 0.64);
    CHECK(json["truth"][0]["true_s"] == 0.62);
    CHECK(json["truth"][1]["measured_s"].is_null());
    CHECK(json["comparison"]["question"]["change_percent"] == -31);
    CHECK(to_csv(report) == "visit,nominal_hz,measured_s,true_s,positions,inside,without_value\n"
                            "before,63,0.64,0.62,3,1,1\nafter,63,,,0,0,1\n");
    const std::string text = to_text(report);
    CHECK(text.starts_with("SIMULATED"));
    CHECK(has(text, "In all 1 of 3 intervals hold the room's own value; 2 values are empty."));
    CHECK(has(text, "1 of 3"));
    CHECK(has(text, "invented"));
}

TEST_CASE("devices are listed with what they can and which is the default") {
    DevicesReport report;
    report.devices = {{0, "ALSA", "one, two", 2, 0, 44100, true, false},
                      {1, "JACK", "b", 0, 8, 48000, false, true}};
    report.messages = {samples::hostile_name};
    const Json json = Json::parse(to_json(report));
    CHECK(json["devices"][0]["inputs"] == 2);
    CHECK(json["devices"][1]["outputs"] == 8);
    CHECK(json["devices"][1]["rate_hz"] == 48000);
    CHECK(json["devices"][0]["default_input"] == true);
    CHECK(json["devices"][0]["default_output"] == false);
    CHECK(has(to_csv(report), "\n0,ALSA,\"one, two\",2,0,44100,true,false\n"));
    const std::string text = to_text(report);
    CHECK(has(text, "44100  default for recording"));
    CHECK(has(text, "48000  default for playing"));
    CHECK(!has(text, "\x1b"));
}

TEST_CASE("a level is proposed with what it holds for, and bands that stay short are named") {
    LevelReport report;
    report.job = "jobs/a";
    report.device = report.output = "interface";
    report.source = "S2";
    report.output_channel = 3;
    report.end = LevelEnd::limit;
    report.limit_dbfs = -6;
    report.aimed_db = 45;
    report.steps = {{-24, -40, 20, 0.4}, {-18, -34, {}, {}}};
    const auto bands = bands_between(BandWidth::octave, 63, 250);
    report.bands = {
        {bands[0], -70, 30, 38, true}, {bands[1], -80, 45, 53, true}, {bands[2], -80, {}, 20, false}};
    report.sweep = Sweep{};
    report.sweep->seconds = 20;
    report.take_s = 50;
    report.takes = 7;
    const Json json = Json::parse(to_json(report));
    CHECK(json["source"] == "S2");
    CHECK(json["output_channel"] == 3);
    CHECK(json["level_dbfs"] == -12);
    CHECK(json["seconds"] == 20);
    CHECK(json["steps"][0]["peak_dbfs"] == -40);
    CHECK(json["steps"][1]["least_decay_range_db"].is_null());
    CHECK(json["bands"][0]["predicted_decay_range_db"] == 38);
    CHECK(json["bands"][2]["of_interest"] == false);
    CHECK(has(to_csv(report), "\n63,-70,30,38,true\n"));
    const std::string text = to_text(report);
    CHECK(has(text, "Stopped at the limit of -6 dBFS."));
    CHECK(has(text, "loudspeaker S2 on output 3"));
    CHECK(has(text, "Short of 45 dB of decay range even so: 63 Hz."));
    CHECK(!has(text, "SIMULATED"));
    report.simulated = true;
    CHECK(to_text(report).starts_with("SIMULATED"));
    report.sweep.reset();
    CHECK(has(to_text(report), "No level is proposed"));
    CHECK(Json::parse(to_json(report))["level_dbfs"].is_null());
    report.end = LevelEnd::stopped;
    report.fault = "the device went away";
    CHECK(has(to_text(report), "the device went away"));
    CHECK(Json::parse(to_json(report))["notes"][0] == "the device went away");
    report.end = LevelEnd::clipping;
    CHECK(has(to_text(report), "clipped"));
    report.end = LevelEnd::distortion;
    CHECK(has(to_text(report), "distorted"));
    report.end = LevelEnd::enough;
    CHECK(has(to_text(report), "Loud enough"));
}

// Source: closed form. Silence, the starts of all repeats but the last, the last sweep, silence.
TEST_CASE("a sweep's report gives its whole length, and cautions before it is played") {
    SweepReport report{"s.wav", "s.toml", Sweep{}, samples::invented_hash('5')};
    report.sweep.repeats = 3;
    const Json json = Json::parse(to_json(report));
    CHECK(json["whole_s"] == 0.5 + 2 * 14 + 10 + 2);
    CHECK(json["level_dbfs"] == -12);
    CHECK(json["sha256"] == report.sha256);
    CHECK(has(to_csv(report), "\nwhole_s,40.5\n"));
    const std::string text = to_text(report);
    CHECK(has(text, "3 × 10 s from 16"));
    CHECK(has(text, "hearing protection"));
    CHECK(text.find("s.wav") < text.find("Before you play it"));
}

TEST_CASE("next says what is missing, what to do, and whether it is safe to leave") {
    NextReport report;
    report.command = "next";
    report.steps = {"measure", "before",      {VisitAfterMissing{}}, {FillInPlan{"a"}, MakeProof{"a"}},
                    false,     {StillBlank{}}};
    report.notes = {RecordingWaits{"rescued.toml"}};
    const Json json = Json::parse(to_json(report));
    CHECK(json["stage"] == "measure");
    CHECK(json["safe_to_leave"] == false);
    CHECK(json["missing"][0] == "a visit after the build");
    CHECK(
        to_csv(report) ==
        "kind,text\nmissing,a visit after the build\n"
        "now,\"fill in a/job.toml; the examples in it show how\"\n"
        "now,make the pages for the invoice: ebbmark proof a\nsafe_to_leave,false\n"
        "note,\"A recording waits in rescued.toml, made by a program that was ended before it was kept: the "
        "command in the file brings it in; then delete both.\"\n"
        "note,still missing: job.title in job.toml\n");
    CHECK(to_text(report).starts_with("Not safe to leave yet."));
    CHECK(has(to_text(report), " 2. make the pages"));
    report.steps.safe_to_leave = true;
    CHECK(to_text(report).starts_with("Safe to leave:"));
    report.steps.safe_to_leave.reset();
    CHECK(!has(to_text(report), "afe to leave"));
    CHECK(Json::parse(to_json(report))["safe_to_leave"].is_null());
    report.simulated = true;
    CHECK(to_text(report).starts_with("SIMULATED"));
}

TEST_CASE("a take left out is told with its reason") {
    const ExcludeReport report{true, "before/S1-M1-01", "a door, open"};
    CHECK(Json::parse(to_json(report))["because"] == "a door, open");
    CHECK(to_csv(report) == "take,because\nbefore/S1-M1-01,\"a door, open\"\n");
    CHECK(to_text(report).starts_with("SIMULATED"));
    CHECK(has(to_text(report), "Take before/S1-M1-01 is left out"));
}

TEST_CASE("a prediction that came too late is never said to count") {
    PredictionReport report;
    report.stored = *samples::promise_input().prediction;
    report.stored.prediction.bands[0].area_m2 = {4, 3, 5, {}};
    report.counts = true;
    const Json json = Json::parse(to_json(report));
    CHECK(json["stored_before"] == true);
    CHECK(json["bands"][0]["predicted_low_s"] == 0.6);
    CHECK(json["bands"][0]["predicted_high_s"] == 0.8);
    CHECK(json["bands"][0]["added_absorption_low_m2"] == 3);
    CHECK(has(to_csv(report), "\nfalse,true,40,third,0.7,0.6,0.8,4,3,5\n"));
    CHECK(has(to_text(report), "before any visit after the build"));
    CHECK(has(to_text(report), "0.70 (0.60 to 0.80)"));
    CHECK(has(to_text(report), "4.0 (3.0 to 5.0)"));
    report.counts = false;
    report.simulated = true;
    CHECK(has(to_text(report), "no proof of a promise"));
    CHECK(!has(to_text(report), "before any visit after the build"));
    CHECK(to_text(report).starts_with("SIMULATED"));
    CHECK(Json::parse(to_json(report))["stored_before"] == false);
}

TEST_CASE("a kept take is told with position and visit, a rejected one too") {
    KeepReport report;
    report.takes = {{"before", "S1-M1", "before/S1-M1-01", {}}, {"before", "S1-M2", "before/S1-M2-01", {}}};
    report.takes[1].report.accepted = false;
    report.takes[1].report.simulated = true;
    const Json json = Json::parse(to_json(report));
    CHECK(json["ebbmark"] == "import");
    CHECK(json["takes"][1]["position"] == "S1-M2");
    CHECK(json["takes"][1]["accepted"] == false);
    CHECK(to_csv(report) ==
          "visit,position,take,accepted,simulated\nbefore,S1-M1,before/S1-M1-01,true,false\n"
          "before,S1-M2,before/S1-M2-01,false,true\n");
    CHECK(has(to_text(report), "Kept as take before/S1-M2-01 of position S1-M2, visit before."));
}

TEST_CASE("verify: intact is never written over a fault, and a foreign digest is said to be one") {
    Verification good = samples::proof_input().verification;
    CHECK(has(to_text(good), "Intact: all 23 files"));
    CHECK(has(to_text(good), "shows only a digest kept outside the job"));
    CHECK(Json::parse(to_json(good))["matches"].is_null());
    good.matches = true;
    good.kind = DigestKind::record;
    good.covers = {CoveredLines{23, 23}};
    CHECK(has(to_text(good),
              "THE DIGEST GIVEN IS THAT OF THIS JOB (" + std::string(name(DigestKind::record)) + ")."));
    CHECK(has(to_text(good), "all 23 files of the evidence"));
    CHECK(Json::parse(to_json(good))["covers"] == Json{"all 23 files of the evidence"});
    CHECK(has(to_csv(good), "\ncovers,all 23 files of the evidence\n"));
    CHECK(has(to_csv(good), "\nmatches,true\n"));
    good.matches = false;
    good.kind.reset();
    CHECK(has(to_text(good), "THE DIGEST GIVEN IS NOT ONE OF THIS JOB"));
    Verification bad = samples::proof_with_broken_evidence().verification;
    bad.simulated = true;
    bad.unreadable = {"job.toml"};
    bad.added = {"notes.txt"};
    const std::string text = to_text(bad);
    CHECK(text.starts_with("SIMULATED"));
    CHECK(has(text, "NOT INTACT. Of 23 files"));
    CHECK(!has(text, "Intact:"));
    CHECK(has(text, "Changed:\n  - visits/after/sounds/S1-M1-01.wav"));
    CHECK(has(text, "Missing:\n  - predictions/001.csv"));
    CHECK(has(text, "Cannot be read:\n  - job.toml"));
    const Json json = Json::parse(to_json(bad));
    CHECK(json["intact"] == false);
    CHECK(json["missing"] == Json::array({"predictions/001.csv"}));
    CHECK(has(to_csv(bad), "\nmissing,predictions/001.csv\n"));
    CHECK(has(to_csv(bad), "intact,false"));
}
