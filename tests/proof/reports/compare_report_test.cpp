// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/guarded.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

using namespace ebbmark;

namespace {

// Source: published. The program's own interface description, section JSON; outside a job the question is
// null and the lists of modes and conditions are empty.
const char* const example = R"({"ebbmark": "compare", "schema": 1, "simulated": false,
 "before": "before", "after": "after", "pairs": 6, "question": null,
 "bands": [
   {"nominal_hz": 63, "width": "third", "metric": "t20", "positions": 6,
    "before_s": 0.91, "after_s": 0.52, "after_at_most_s": null,
    "change_percent": -42.9, "change_low_percent": -55.1, "change_high_percent": -27.3,
    "could_show_percent": 35, "finding": "shorter",
    "predicted_s": 0.58, "predicted_low_s": 0.49, "predicted_high_s": 0.69,
    "against_prediction": "as predicted", "empty": {}, "notes": []}],
 "modes": [],
 "added_absorption": [{"nominal_hz": 63, "area_m2": 4.2, "area_low_m2": 3.0, "area_high_m2": 5.6}],
 "conditions": []})";

BandFinding example_band() {
    BandFinding band;
    band.band = band_at(BandWidth::third, -12);
    band.positions = 6;
    band.before_s = 0.91;
    band.after_s = 0.52;
    band.change_percent = {-42.9, -55.1, -27.3, {}};
    band.could_show_percent = 35;
    band.finding = Finding::shorter;
    band.added_area_m2 = {4.2, 3.0, 5.6, {}};
    return band;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("the published comparison example comes out field by field, value by value") {
    CompareReport report;
    report.comparison.pairs = 6;
    report.comparison.bands = {example_band()};
    const Json actual = Json::parse(to_json(report)), expected = Json::parse(example);
    CHECK(samples::difference_in_shape(expected, actual) == "");
    for (const auto& entry : expected["bands"][0].items())
        if (!entry.key().starts_with("predicted") && entry.key() != "against_prediction")
            CHECK_MESSAGE(actual["bands"][0][entry.key()] == entry.value(), entry.key());
    CHECK(actual["bands"][0]["predicted_s"].is_null());
    CHECK(actual["bands"][0]["against_prediction"] == "cannot tell");
    for (const char* key :
         {"before", "after", "pairs", "question", "modes", "added_absorption", "conditions"})
        CHECK_MESSAGE(actual[key] == expected[key], key);
}

TEST_CASE("a figure that isn't there has its reason beside it") {
    const Json actual = Json::parse(to_json(samples::compare_report()));
    CHECK(samples::difference_in_shape(Json::parse(example), actual) == "");
    REQUIRE(actual["bands"].size() == 28);
    for (const Json& band : actual["bands"])
        for (const char* key : {"before_s", "after_s", "change_percent", "could_show_percent"})
            CHECK(band[key].is_null() == band["empty"].contains(key));
    const auto five_kilohertz = std::find_if(actual["bands"].begin(), actual["bands"].end(),
                                             [](const Json& band) { return band["nominal_hz"] == 5000; });
    CHECK((*five_kilohertz)["after_at_most_s"] == 0.19);
    CHECK((*five_kilohertz)["empty"]["after_s"] == "filter");
}

TEST_CASE("a comparison of single positions gives one_position as the reason for no detectable change") {
    CompareReport report;
    report.comparison.bands = {example_band()};
    report.comparison.bands[0].could_show_percent = {};
    const Json band = Json::parse(to_json(report))["bands"][0];
    CHECK(band["empty"] == Json{{"could_show_percent", "one_position"}});
}

TEST_CASE("a comparison's table opens in a spreadsheet: same cells in each row, decimal points") {
    std::istringstream stream(to_csv(samples::compare_report()));
    std::string line, head;
    std::getline(stream, head);
    int rows = 0;
    for (; std::getline(stream, line); ++rows)
        CHECK(std::count(line.begin(), line.end(), ',') == std::count(head.begin(), head.end(), ','));
    CHECK(rows == 28);
    CompareReport one;
    one.comparison.bands = {example_band()};
    CHECK(has(to_csv(one), "band,false,63,third,t20,6,0.91,0.52,,-42.9,-55.1,-27.3,35,shorter,4.2,3,5.6,,,,,,"
                           ",,,cannot tell,,,,\n"));
}

TEST_CASE("the report begins with what was found and fits 100 columns") {
    const std::string text = to_text(samples::compare_report());
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        CHECK_MESSAGE(columns(line) <= terminal_columns, line);
    CHECK(text.find("dies away in") < text.find("could show"));
    CHECK(has(text, "Shown unchanged: 2 kHz."));
    CHECK(has(text, "≤ 0.19"));
}

TEST_CASE("no change shown is never worded as no change") {
    const CompareReport report = samples::nothing_shown_report();
    CHECK(headline(report.comparison) ==
          "This measurement does not show that the treatment changed the decay time in any band.");
    const auto rest = remaining_findings(report.comparison);
    REQUIRE(rest.size() == 1);
    CHECK(has(rest[0],
              "No change shown in 7 of 7 bands, 63\u00a0Hz to 4\u00a0kHz. That is not proof of sameness: a "
              "change of less than 21\u00a0% could"));
    const std::string text = to_text(report);
    for (std::size_t at = text.find("no change"); at != std::string::npos;
         at = text.find("no change", at + 1))
        CHECK(text.compare(at, 15, "no change shown") == 0);
}

TEST_CASE("changes for the worse are said as plainly as those for the better") {
    CompareReport report = samples::longer_report();
    CHECK(has(headline(report.comparison), "more time to die away after the treatment, in"));
    CHECK(has(headline(report.comparison), "No band is shown to be shorter"));
    report.comparison.bands[10].finding = Finding::shorter;
    CHECK(has(headline(report.comparison), "less time after the treatment, in one band: 200\u00a0Hz"));
    CHECK(has(headline(report.comparison), "It takes"));
}

TEST_CASE("nothing measurable is a finding of its own") {
    const CompareReport report = samples::all_empty_report();
    CHECK(has(headline(report.comparison), "Nothing could be compared"));
    CHECK(has(to_text(report), "noise = the decay meets the noise too early"));
    CompareReport bare;
    CHECK(has(to_text(bare), "Nothing could be compared"));
}

TEST_CASE("a single position gives figures but no finding, and the report says why") {
    CompareReport report = samples::compare_report(BandWidth::octave, 125, 1000);
    report.comparison.pairs = 1;
    for (BandFinding& band : report.comparison.bands) {
        band.positions = 1;
        band.change_percent.low = band.change_percent.high = band.could_show_percent = {};
        band.finding = Finding::not_measurable;
    }
    CHECK(has(headline(report.comparison), "from a single position"));
    CHECK(has(to_text(report), "Measured at one position only"));
}

TEST_CASE("same result, same bytes") {
    CHECK(to_json(samples::compare_report()) == to_json(samples::compare_report()));
    // The last bits of a sum must not reach the file.
    CompareReport nudged = samples::compare_report();
    for (BandFinding& band : nudged.comparison.bands)
        if (band.before_s)
            *band.before_s *= 1 + 1e-14;
    CHECK(to_json(nudged) == to_json(samples::compare_report()));
    CHECK(to_text(nudged) == to_text(samples::compare_report()));
}

namespace {

CompareReport whole_report() {
    CompareReport report;
    report.comparison.pairs = 6;
    BandFinding band = example_band();
    band.general_percent = {-41.0, -56.0, -21.0, {}};
    band.predicted_s = {0.58, 0.49, 0.69, {}};
    band.against_prediction = AgainstPrediction::as_predicted;
    report.comparison.bands = {band};
    QuestionFinding question;
    question.text = "mean decay, third octaves 40 to 200 Hz";
    question.metric = Metric::t30;
    question.fixed = "in the promise";
    question.change_percent = {-31.0, -38.2, -22.9, {}};
    question.general_percent = {-30.0, -40.0, -18.0, {}};
    question.could_show_percent = 14;
    question.finding = Finding::shorter;
    question.promise.emplace().came = AgainstPrediction::as_predicted;
    question.acceptance = AcceptanceFinding::met;
    report.comparison.question = question;
    ModeFinding mode;
    mode.mode.before_hz = 41.8;
    mode.mode.after_hz = 41.6;
    mode.mode.pairing = 0.99;
    mode.mode.before_t60_s = Measured::of(0.82);
    mode.mode.after_t60_s = Measured::of(0.44);
    mode.change_percent = {-46.3, -50.9, -41.3, {}};
    mode.finding = Finding::shorter;
    report.comparison.modes = {mode};
    report.comparison.conditions = {{"air temperature", "21.0 °C", "23.5 °C", ConditionEffect::corrected,
                                     "modes 0.4 % higher, corrected"}};
    return report;
}

// Source: published. The program's own interface description, section JSON.
const char* const whole_example = R"({
 "question": {"text": "mean decay, third octaves 40 to 200 Hz", "metric": "t30", "fixed": "in the promise",
   "change_percent": -31.0, "change_low_percent": -38.2, "change_high_percent": -22.9, "could_show_percent": 14,
   "finding": "shorter", "against_prediction": "as predicted", "acceptance": "met"},
 "modes": [
   {"before_hz": 41.8, "after_hz": 41.6, "pairing": 0.99, "before_t60_s": 0.82,
    "after_t60_s": 0.44, "after_t60_at_most_s": null,
    "change_percent": -46.3, "change_low_percent": -50.9, "change_high_percent": -41.3, "finding": "shorter",
    "predicted_t60_s": null, "predicted_t60_low_s": null, "predicted_t60_high_s": null,
    "against_prediction": "cannot tell", "empty": {}, "notes": []}],
 "conditions": [{"what": "air temperature", "before": "21.0 °C", "after": "23.5 °C",
                 "effect": "modes 0.4 % higher, corrected"}]})";

} // namespace

TEST_CASE("question, modes and conditions come out as published") {
    const Json actual = Json::parse(to_json(whole_report())), expected = Json::parse(whole_example);
    for (const auto& entry : expected["question"].items())
        CHECK_MESSAGE(actual["question"][entry.key()] == entry.value(), entry.key());
    for (const auto& entry : expected["modes"][0].items())
        CHECK_MESSAGE(actual["modes"][0][entry.key()] == entry.value(), entry.key());
    CHECK(actual["conditions"] == expected["conditions"]);
    const Json band = actual["bands"][0], published = Json::parse(example)["bands"][0];
    for (const auto& entry : published.items())
        CHECK_MESSAGE(band[entry.key()] == entry.value(), entry.key());
    CHECK(band["general_low_percent"] == -56.0);
}

TEST_CASE("the report answers the question first, then the bands, then the prediction and the conditions") {
    const std::string text = to_text(whole_report());
    const auto at = [&](const char* part) {
        CHECK_MESSAGE(has(text, part), part);
        return text.find(part);
    };
    CHECK(at("Answer: shorter by 31 % (23 to 38 %).") < at("The sound dies away"));
    CHECK(at("What was agreed: met.") < at("The sound dies away"));
    CHECK(at("room in general") < at("Room modes"));
    CHECK(at("0.58 (0.49 to 0.69)") < at("air temperature: 21.0 °C before, 23.5 °C after"));
}

TEST_CASE("a question without a shown change is answered with what could stay hidden") {
    CompareReport report = whole_report();
    report.comparison.question->finding = Finding::no_change_shown;
    report.comparison.question->change_percent = {-5, -15, 6, {}};
    CHECK(has(to_text(report), "no change shown (95 % interval -15 to +6.0 %)"));
    report.comparison.question->finding = Finding::not_measurable;
    report.comparison.question->change_percent = Measured::none(Empty::conditions);
    CHECK(has(to_text(report), "cannot be answered; the conditions of the two states differ too much"));
}
