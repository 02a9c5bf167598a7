// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/deconvolve_report.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

// Source: published. The program's own interface description, section JSON.
const char* const example =
    R"({"ebbmark": "deconvolve", "schema": 1, "simulated": false, "response": "ir.wav",
 "rate_hz": 48000, "delay_s": 0.512, "drift_ppm": -18.4, "accepted": true,
 "checks": [{"name": "clipping", "figure": 0, "limit": 0, "unit": "samples", "held": true,
  "outcome": "held", "effect": "", "advice": ""}],
 "bands": [{"nominal_hz": 63, "decay_range_db": 48.0, "distortion_percent": 0.4}], "notes": []})";

DeconvolveReport example_report() {
    DeconvolveReport report;
    report.response = "ir.wav";
    report.rate_hz = 48000;
    report.delay_s = 0.512;
    report.drift_ppm = -18.4;
    report.checks = {{CheckName::clipping, 0, 0, "samples"}};
    report.bands = {{63, Measured::of(48), 0.4}};
    return report;
}

} // namespace

TEST_CASE("the published deconvolution example comes out field by field, value by value") {
    Json actual = Json::parse(to_json(example_report()));
    CHECK(samples::difference_in_shape(Json::parse(example), actual) == "");
    CHECK(actual["noise_reference"] == "full scale");
    for (const char* added : {"noise_reference", "calibration"})
        actual.erase(added);
    for (const char* added : {"empty", "noise_db"})
        actual["bands"][0].erase(added);
    CHECK(actual == Json::parse(example));
}

TEST_CASE("an unknown drift is null, and a rejected recording says what to do") {
    DeconvolveReport report = example_report();
    report.drift_ppm = {};
    report.accepted = false;
    report.checks[0] = {CheckName::clipping,
                        12,
                        0,
                        "samples",
                        CheckOutcome::rejected,
                        "Lower the microphone gain by 6 dB and repeat.",
                        "nothing of this take is used"};
    report.bands[0] = {63, Measured::none(Empty::source), {}};
    const Json json = Json::parse(to_json(report));
    CHECK(json["drift_ppm"].is_null());
    CHECK(json["bands"][0]["empty"]["decay_range_db"] == "source");
    std::string text = to_text(report);
    std::replace(text.begin(), text.end(), '\n', ' '); // where lines end is another matter
    for (const char* part : {"REJECTED", "rejected", "Lower the microphone gain", "12 samples", "source ="})
        CHECK_MESSAGE(text.find(part) != std::string::npos, std::string(part));
    CHECK(to_csv(report).find("ir.wav,false,false,63,,,decay_range_db:source\n") != std::string::npos);
}

TEST_CASE("what was noted takes one line and no alarming word") {
    DeconvolveReport report = example_report();
    const std::string nothing(no_effect);
    report.checks = {{CheckName::distortion, 4, 10, "%", CheckOutcome::noted, "look for what rattles",
                      nothing, "rattle at 84 Hz"},
                     {CheckName::polarity, -1, 1, "", CheckOutcome::noted, "swap the wires", nothing,
                      "polarity reversed"}};
    std::string text = to_text(report);
    CHECK(text.find("\nnoted: rattle at 84 Hz, polarity reversed; nothing in the result depends on it\n") !=
          std::string::npos);
    for (const char* word : {"FAILED", "failed", "REJECTED", "rejected", "To mend"})
        CHECK_MESSAGE(text.find(word) == std::string::npos, word);
    report.checks.push_back({CheckName::hum, 1, 0, "bands", CheckOutcome::widened, "use other sockets",
                             "the bands around 50 Hz are left out", "hum at 50 Hz"});
    text = to_text(report);
    CHECK(text.find("widened: hum at 50 Hz; the bands around 50 Hz are left out. To mend: use other") !=
          std::string::npos);
    CHECK(Json::parse(to_json(report))["checks"][2]["outcome"] == "widened");
    CHECK(Json::parse(to_json(report))["checks"][2]["held"] == false);
}

TEST_CASE("a slow recorder clock is said in words") {
    CHECK(to_text(example_report()).find("18.4 ppm slower") != std::string::npos);
}
