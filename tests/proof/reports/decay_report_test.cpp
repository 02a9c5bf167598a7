// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/guarded.hpp"
#include "proof/words/table.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <sstream>

using namespace ebbmark;

namespace {

// Source: published. The program's own interface description, section JSON.
const char* const example = R"({"ebbmark": "decay", "schema": 1, "simulated": false, "responses": [
  {"file": "a.wav", "channel": 1, "rate_hz": 48000, "onset_s": 0.0213,
   "bands": [
     {"nominal_hz": 125, "exact_hz": 125.893, "width": "third",
      "edt_s": 0.61, "edt_low_s": 0.48, "edt_high_s": 0.79,
      "t20_s": 0.64, "t20_low_s": 0.55, "t20_high_s": 0.76,
      "t30_s": null, "t30_low_s": null, "t30_high_s": null, "at_most_s": null,
      "nonlinearity_permille": 2.1, "curvature_percent": null, "shape": "single",
      "c50_db": 4.1, "c80_db": 7.9, "d50_percent": 72, "ts_ms": 41,
      "decay_range_db": 41.3, "bandwidth_time": 18.6,
      "empty": {"t30_s": "noise", "curvature_percent": "noise"}, "notes": []}]}]})";

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        lines.push_back(line);
    return lines;
}

std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells(1);
    for (const char c : line)
        if (c == ',')
            cells.emplace_back();
        else
            cells.back() += c;
    return cells;
}

} // namespace

TEST_CASE("the published decay example comes out field by field, value by value") {
    DecayReport report;
    report.responses.push_back(
        {"a.wav", 1, 48000, {0.0213, {samples::full_band(band_at(BandWidth::third, -9))}}});
    Json actual = Json::parse(to_json(report));
    CHECK(samples::difference_in_shape(Json::parse(example), actual) == "");
    actual["responses"][0].erase("notes");
    CHECK(actual == Json::parse(example));
}

TEST_CASE("every band of a long decay result has the published fields") {
    const Json actual = Json::parse(to_json(samples::decay_report()));
    CHECK(samples::difference_in_shape(Json::parse(example), actual) == "");
    REQUIRE(actual["responses"][0]["bands"].size() == 28);
    for (const Json& band : actual["responses"][0]["bands"])
        for (const char* key : {"edt_s", "t20_s", "t30_s"})
            CHECK(band[key].is_null() == band["empty"].contains(key));
}

TEST_CASE("numbers that are none become null, never NaN") {
    DecayReport report = samples::decay_report(BandWidth::octave, 125, 125);
    report.responses[0].decay.bands[0].c50_db = Measured::of(std::numeric_limits<double>::quiet_NaN());
    CHECK(Json::parse(to_json(report))["responses"][0]["bands"][0]["c50_db"].is_null());
    CHECK(to_csv(report).find("nan") == std::string::npos);
}

TEST_CASE("a table of decays has one quantity per column and its unit in the heading") {
    const auto lines = lines_of(to_csv(samples::decay_report()));
    REQUIRE(lines.size() == 29);
    const auto head = cells_of(lines[0]);
    for (const std::string& line : lines)
        CHECK(cells_of(line).size() == head.size());
    const auto row = cells_of(lines[8]); // 100 Hz
    const auto at = [&](const std::string& name) {
        return row[static_cast<std::size_t>(std::find(head.begin(), head.end(), name) - head.begin())];
    };
    CHECK(at("nominal_hz") == "100");
    CHECK(at("exact_hz") == "100");
    CHECK(at("c50_db") == "4.1");
    CHECK(at("empty") == "curvature_percent:noise");
    CHECK(lines[1].find("t20_s:source") != std::string::npos);
}

TEST_CASE("the report for people fits 100 columns and says why cells are empty") {
    DecayReport report = samples::decay_report();
    report.responses[0].decay.bands[3].notes = {TwoSlopes{0.31, 0.74}};
    for (BandDecay& band : report.responses[0].decay.bands)
        band.curvature_percent = Measured::none(Empty::disturbed);
    const std::string text = to_text(report);
    for (const std::string& line : lines_of(text))
        CHECK_MESSAGE(columns(line) <= terminal_columns, line);
    for (const char* part : {"how long", "how straight", "how sure", "how clear", "≤ 0.12", "source",
                             "disturbed = another sound", "−5 to −25 dB", "40 Hz: The decay has two slopes"})
        CHECK_MESSAGE(text.find(part) != std::string::npos, part);
}

TEST_CASE("a file name can't steer the terminal, the table or the JSON") {
    DecayReport report = samples::decay_report(BandWidth::octave, 125, 250);
    report.responses[0].file = samples::hostile_name;
    for (const std::string& bytes : {to_text(report), to_csv(report), to_json(report)}) {
        CHECK(bytes.find('\x1b') == std::string::npos);
        CHECK(bytes.find('\xff') == std::string::npos);
    }
    CHECK(lines_of(to_csv(report)).size() == 3);
    CHECK(Json::accept(to_json(report)));
}

TEST_CASE("simulated decays say so in every form") {
    DecayReport report = samples::decay_report(BandWidth::octave, 125, 250);
    report.simulated = true;
    CHECK(to_text(report).starts_with("SIMULATED"));
    CHECK(Json::parse(to_json(report))["simulated"] == true);
    CHECK(cells_of(lines_of(to_csv(report))[1])[2] == "true");
}

TEST_CASE("no band at all is said in words") {
    DecayReport report = samples::decay_report();
    report.responses[0].decay.bands.clear();
    CHECK(to_text(report).find("No band") != std::string::npos);
}
