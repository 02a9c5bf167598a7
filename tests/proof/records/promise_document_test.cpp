// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/promise_document.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/words/verdict_notes.hpp"
#include "relative.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using samples::has;

namespace {

/// Predicted with this ratio of after to before in every band, without intervals.
PromiseInput all_bands(double ratio) {
    PromiseInput input = samples::promise_input();
    auto& bands = input.prediction->prediction.bands;
    for (std::size_t b = 0; b < bands.size(); ++b)
        bands[b].decay_s = Measured::of(ratio * *input.before_s[b].second);
    return input;
}

std::string headline_of(const PromiseInput& input) {
    const Document document = promise_document(input);
    for (const DocumentPart& part : document.sections.front().parts)
        if (const auto* text = std::get_if<DocumentText>(&part); text && text->kind == TextKind::finding)
            return text->words;
    return "";
}

} // namespace

// Source: closed form. With the same ratio in every band the weights do not matter.
TEST_CASE("a prediction of 30 % less in every band promises 30 % less, with the ends of all bands together") {
    const PromisedMean promised = promised_mean(samples::promise_input());
    CHECK(*promised.percent() == relative(-30));
    CHECK(*promised.percent().low == relative(-40));
    CHECK(*promised.percent().high == relative(-20));
    CHECK(promised.bands.size() == 8);
    CHECK(promised.missing.empty());
}

// Source: closed form. IEC 61260-1 thirds are G^(1/3) apart in bandwidth, G = 10^(3/10): the mean over n of
// them that fall to `ratio` and one, the highest, that falls to another.
TEST_CASE("each band of a promise weighs by its bandwidth, and three quarters of the weight are needed") {
    const double wider = std::pow(10, 0.1), all = (std::pow(wider, 8) - 1) / (wider - 1);
    PromiseInput input = samples::promise_input();
    auto& bands = input.prediction->prediction.bands;
    for (std::size_t b = 0; b < 8; ++b)
        bands[b].decay_s = Measured::of((b == 7 ? 0.8 : 0.5) * *input.before_s[b].second);
    const double highest = std::pow(wider, 7) / all;
    const PromisedMean whole = promised_mean(input);
    CHECK(*whole.log == relative((1 - highest) * std::log(0.5) + highest * std::log(0.8)));
    CHECK(whole.weight == relative(1.0));
    bands.pop_back(); // without the highest 76 % are left, without the next 56 %
    CHECK(promised_mean(input).weight == relative(1 - highest));
    CHECK(*promised_mean(input).log == relative(std::log(0.5)));
    CHECK(promised_mean(input).missing.size() == 1);
    bands.pop_back();
    CHECK(!promised_mean(input).log);
    CHECK(has(headline_of(input), "What came of it will be measured"));
    CHECK(has(samples::words_in(promise_document(input)), "three quarters are needed"));
}

TEST_CASE("where a band is predicted without an interval none is promised for the mean") {
    const PromiseInput input = all_bands(0.65);
    CHECK(!promised_mean(input).percent().low);
    CHECK(!promised_mean(input).percent().high);
    const std::string headline = headline_of(input);
    CHECK(has(headline, "a decay shorter by 35\u00a0%"));
    CHECK(!has(headline, "("));
}

TEST_CASE("nothing is promised without a prediction, without a decay before, or for single modes") {
    CHECK(!promised_mean(samples::promise_without_prediction()).log);
    PromiseInput unmeasured = samples::promise_input();
    unmeasured.before_s.clear();
    CHECK(!promised_mean(unmeasured).log);
    PromiseInput modes = samples::promise_input();
    modes.promise.job.question = {JobQuestion::Kind::modes, 40, 200, {41.8, 63.1}};
    CHECK(!promised_mean(modes).log);
    CHECK(headline_of(modes) == "2 traps are planned. What came of it will be measured after the build.");
    CHECK(has(samples::words_in(promise_document(modes)), "room modes at 41.8\u00a0Hz, 63.1\u00a0Hz change"));
}

TEST_CASE("the headline gives the promised change with its smaller end first") {
    CHECK(headline_of(samples::promise_input()) ==
          "2 traps are planned. Predicted over 40 to 200\u00a0Hz, at S1-M1 and S2-M1: a decay "
          "shorter by 30\u00a0% (20 to 40\u00a0%).");
}

TEST_CASE("where the prediction allows for a longer decay the headline says so") {
    PromiseInput input = samples::promise_input();
    for (PredictedBand& band : input.prediction->prediction.bands)
        band.decay_s.high = 1.5 * *band.decay_s; // 5 % longer than before
    CHECK(headline_of(input).ends_with(
        "shorter by 30\u00a0%, somewhere from 5.0\u00a0% longer to 40\u00a0% shorter."));
}

TEST_CASE("a decay that is predicted to grow is not promised as shorter") {
    CHECK(!has(headline_of(all_bands(1.2)), "shorter"));
}

TEST_CASE("the promise says where it holds, over how much of the question, and what it leaves out") {
    PromiseInput input = samples::promise_input();
    input.prediction->prediction.bands.pop_back();
    input.prediction->original_name = computed_table;
    const std::string words = samples::words_in(promise_document(input));
    for (const char* said :
         {"At S1-M1, S2-M1, 2 of 6 positions measured", "40 to 160\u00a0Hz are 76\u00a0% of the question",
          "Without a prediction: 200\u00a0Hz.", "Not modelled: walls that give way",
          "No measured room and no measured trap", "Nothing below 40\u00a0Hz"})
        CHECK_MESSAGE(has(words, said), said);
    CHECK(!has(words, "A dash: none predicted")); // the table has no row for it
    PromiseInput dashed = samples::promise_input();
    dashed.prediction->original_name = computed_table;
    dashed.prediction->prediction.bands.back().decay_s = Measured::none(Empty::conditions);
    CHECK(has(samples::words_in(promise_document(dashed)), "A dash: none predicted"));
    PromiseInput gap = samples::promise_input();
    gap.before_s.erase(gap.before_s.begin() + 1); // 50 Hz
    const std::string other = samples::words_in(promise_document(gap));
    CHECK(has(other, "Predicted over 40\u00a0Hz and 63 to 200\u00a0Hz"));
    CHECK(has(other, "Without a decay measured before: 50\u00a0Hz."));
    input.prediction->original_name = "by hand.csv";
    CHECK(has(samples::words_in(promise_document(input)), "only its maker can say"));
}

TEST_CASE("the promise prints its digest, what it covers and whose it is") {
    const Document document = promise_document(samples::promise_input());
    const std::string words = samples::words_in(document);
    CHECK(has(words, "0123 4567 89ab cdef 0123 4567 89ab cdef\n"));
    CHECK(has(document.footer, "0123 4567 89ab cdef"));
    CHECK(has(words, "the prediction and 3 files kept so far"));
    CHECK(has(words, "Contractor: Invented Acoustics"));
    CHECK(has(words, "Client: Ada Invented"));
    CHECK(has(words, "Size: 4.10\u00a0m × 3.30\u00a0m × 2.60\u00a0m, 35.2\u00a0m³"));
    CHECK(has(words, "Made on: 2026-11-20"));
    CHECK(has(words, "as a mean over 40\u00a0Hz to 200\u00a0Hz"));
    CHECK(document.author == "Invented Acoustics");
    CHECK(document.date == "2026-11-20T09:00:00+01:00");
    PromiseInput blank = samples::promise_input();
    blank.client = "";
    CHECK(has(samples::words_in(promise_document(blank)), "Client: not given"));
}

TEST_CASE("the table of a promise has before, after and interval in their columns") {
    const DocumentTable table =
        samples::table_named(promise_document(samples::promise_input()), "prediction");
    REQUIRE(table.rows.size() == 8);
    CHECK(samples::row_of(table, "40") == std::vector<std::string>{"40", "1.00", "0.70", "0.60 to 0.80"});
    CHECK(samples::row_of(table, "200") == std::vector<std::string>{"200", "0.80", "0.56", "0.48 to 0.64"});
    PromiseInput unmeasured = samples::promise_input();
    unmeasured.before_s.clear();
    CHECK(samples::row_of(samples::table_named(promise_document(unmeasured), "prediction"), "40") ==
          std::vector<std::string>{"40", "0.70", "0.60 to 0.80"});
}

// Source: closed form. W. C. Sabine: areas add, so the decay falls by A/(A + added), A = 24 ln(10) · 4 V/(c
// T).
TEST_CASE("areas that a prediction gives are turned into the decay that they make in this room") {
    PromiseInput input = samples::promise_input();
    for (PredictedBand& band : input.prediction->prediction.bands) {
        band.decay_s = Measured::none(Empty::source);
        band.area_m2 = {4, 3, 5, {}};
    }
    const double area_m2 = 24 * std::log(10) * 4.1 * 3.3 * 2.6 / 343; // of a decay of 1 s; 343 m/s at 20 °C
    const auto table = samples::table_named(promise_document(input), "prediction");
    const auto row = samples::row_of(table, "40");
    REQUIRE(row.size() == 5);
    CHECK(std::stod(row[2]) == doctest::Approx(area_m2 / (area_m2 + 4)).epsilon(0.01));
    CHECK(std::stod(row[3]) ==
          doctest::Approx(area_m2 / (area_m2 + 5)).epsilon(0.01)); // the shorter end first
    CHECK(row[4] == "4.0 (3.0 to 5.0)");
    input.units = Units::imperial;
    CHECK(samples::row_of(samples::table_named(promise_document(input), "prediction"), "40")[4] ==
          "43.1 (32.3 to 53.8)"); // 1 m² is 10.764 ft²
}

TEST_CASE("without a prediction the promise says so and shows neither table nor chart") {
    const Document document = promise_document(samples::promise_without_prediction());
    CHECK(has(samples::words_in(document), "No prediction is kept in the job"));
    for (const DocumentTable* table : tables_of(document))
        CHECK(table->name != "prediction");
    const Document with = promise_document(samples::promise_input());
    CHECK(!has(samples::words_in(with), "No prediction is kept"));
    CHECK(has(samples::words_in(with),
              "predictions/001.csv stored on 2026-11-19 (SHA-256 " + std::string(16, 'b') + "…)"));
}

TEST_CASE("a simulated promise is marked on the page and in its chart") {
    PromiseInput input = samples::promise_input();
    const auto chart = [&] {
        return samples::words_on(
            samples::chart_named(promise_document(input).sections, "prediction").draw(ChartSize{}));
    };
    CHECK(!promise_document(input).simulated);
    CHECK(!has(chart(), "SIMULATED"));
    input.simulated = true;
    CHECK(promise_document(input).simulated);
    CHECK(has(chart(), "SIMULATED"));
}

TEST_CASE("what is not promised names depth, bands without a figure and bands without a sure change") {
    PromiseInput input = samples::promise_input();
    auto& bands = input.prediction->prediction.bands;
    bands[2].decay_s = Measured::none(Empty::source); // 63 Hz
    bands[5].decay_s.high = 1.1;                      // 125 Hz, 0.8 s before
    const std::string words = samples::words_in(promise_document(input));
    CHECK(has(words, "Nothing below 40\u00a0Hz: no lower band is predicted."));
    CHECK(has(words, "No figure is predicted for 63\u00a0Hz."));
    CHECK(has(words, "No change is promised for 125\u00a0Hz"));
    for (JobTrap& trap : input.promise.job.traps)
        trap.layers[0].thickness_m = 0.1;
    // Source: the rule in the sentence itself, common practice, no source: 50 Hz from 20 cm.
    input.prediction.reset();
    CHECK(has(samples::words_in(promise_document(input)),
              "Nothing below about 100\u00a0Hz: porous traps no deeper than 10\u00a0cm"));
    const std::string sure = samples::words_in(promise_document(samples::promise_input()));
    CHECK(!has(sure, "No figure is predicted"));
    CHECK(!has(sure, "No change is promised"));
}

TEST_CASE("a promise states the rule of acceptance, or that nothing depends on the measurement") {
    PromiseInput input = samples::promise_input();
    CHECK(has(samples::words_in(promise_document(input)), decision_rule({20})));
    input.promise.job.acceptance.reset();
    const std::string words = samples::words_in(promise_document(input));
    CHECK(has(words, "No least change was agreed"));
    CHECK(!has(words, decision_rule({20})));
}

TEST_CASE("planned traps are listed with face, place and layers, and cautions stand on the page") {
    const Document document = promise_document(samples::promise_input());
    const DocumentTable traps = samples::table_named(document, "traps");
    CHECK(samples::row_of(traps, "A") ==
          std::vector<std::string>{"A", "rear wall", "1.20\u00a0m × 2.00\u00a0m",
                                   "rear wall, 1.05\u00a0m along, 0.30\u00a0m up",
                                   "20\u00a0cm invented wool (45\u00a0kg/m³, 12\u00a0kPa\u00a0s/m²), "
                                   "invented cloth (20\u00a0Pa\u00a0s/m); sides closed"});
    CHECK(samples::row_of(traps, "B")[3] == "front and left corner, 0.10\u00a0m up");
    for (const char* caution : {"dust mask", "fire class", "hearing protection", "licensed trades"})
        CHECK_MESSAGE(has(samples::words_in(document), caution), caution);
    CHECK(has(samples::words_in(document), "with 2 traps, 2 sources and 3 microphones"));
    PromiseInput no_box = samples::promise_input();
    no_box.promise.job.room.box.reset();
    CHECK(!has(samples::words_in(promise_document(no_box)), "Plan and side elevation"));
}

TEST_CASE("what the command promise prints is what its documents say") {
    PromiseReport report;
    report.job = "jobs/a";
    report.file = "promises/001.toml";
    report.digest = samples::promise_input().promise.sha256;
    report.made_at = "2026-11-20T09:00:00+01:00";
    report.prediction = "predictions/001.csv";
    report.promised = promised_mean(samples::promise_input());
    report.places = {"S1-M1", "S2-M1"};
    report.pages = {"results/promise.pdf"};
    const auto json = Json::parse(to_json(report));
    CHECK(json["digest_on_paper"] == "0123 4567 89ab cdef 0123 4567 89ab cdef");
    CHECK(json["change_percent"] == -30);
    CHECK(json["change_low_percent"] == -40);
    CHECK(json["change_high_percent"] == -20);
    CHECK(json["bands"] == 8);
    CHECK(json["places"] == Json({"S1-M1", "S2-M1"}));
    CHECK(json["simulated"] == false);
    CHECK(to_csv(report) == "kind,text\npromise,promises/001.toml\ndigest," + report.digest +
                                "\nmade_at,2026-11-20T09:00:00+01:00\npage,results/promise.pdf\n");
    CHECK(has(to_text(report), "The promise is made and kept as promises/001.toml"));
    CHECK(!has(to_text(report), "No prediction"));
    CHECK(!has(to_text(report), "SIMULATED"));
    report.simulated = true;
    report.fresh = false;
    report.prediction = "";
    const std::string text = to_text(report);
    CHECK(text.starts_with("SIMULATED"));
    CHECK(has(text, "This was promised before"));
    CHECK(has(text, "No prediction is kept"));
    CHECK(Json::parse(to_json(report))["prediction"].is_null());
    CHECK(Json::parse(to_json(report))["simulated"] == true);
}
