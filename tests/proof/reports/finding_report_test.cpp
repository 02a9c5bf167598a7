// SPDX-License-Identifier: GPL-3.0-or-later
// The parts of a comparison: question, prediction, modes, conditions, target, bass response, clarity, chain.
#include "proof/reports/compare_report.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/reports/further_report.hpp"
#include "proof/words/wording.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;
using samples::has;

TEST_CASE("what a band cannot say carries its own reason") {
    const auto bands = samples::whole_comparison().comparison.bands;
    CHECK(empty_json(bands[1]).empty());
    CHECK(
        empty_json(bands[0]).dump() ==
        R"({"before_s":"source","after_s":"source","change_percent":"source","could_show_percent":"source"})");
    CHECK(empty_json(bands.back())["after_s"] == "filter"); // a bound stands there
    CHECK(!empty_json(bands.back()).contains("before_s"));
    CHECK(after_shown(bands.back()) == "≤ 0.19");
    CHECK(after_shown(bands[1]) == "0.63");
    CHECK(after_shown(bands[0]) == "–");
    CHECK(evidence_warning({}).empty());
    CHECK(evidence_warning(EvidenceFaults{{}, {"a"}, {}, {}})
              .starts_with("THE EVIDENCE IS NOT INTACT (missing: a)."));
}

TEST_CASE("the two ends of a narrow interval never look alike") {
    const Measured narrow{-30, -31.4, -29.1, {}}, wide{-30, -38, -21, {}};
    CHECK(percent_within(narrow, -31.4) == "-31.4");
    CHECK(percent_within(narrow, -29.1) == "-29.1");
    CHECK(percent_within(wide, -38) == "-38");
    QuestionFinding question = *samples::whole_comparison().comparison.question;
    question.change_percent = narrow;
    CHECK(has(answer_headline(question), "shorter by 30.0\u00a0% (29.1 to 31.4\u00a0%)"));
}

TEST_CASE("each finding on the question has its own words") {
    QuestionFinding question = *samples::whole_comparison().comparison.question;
    question.change_percent = {12, 4, 21, {}};
    question.finding = Finding::longer;
    CHECK(has(answer_headline(question), "longer by 12\u00a0% (4.0 to 21\u00a0%)."));
    question.change_percent = {1, -3, 6, {}};
    question.finding = Finding::shown_unchanged;
    CHECK(has(answer_headline(question), "shown unchanged; the change lies within -3.0 to +6.0\u00a0%"));
    question.finding = Finding::no_change_shown;
    CHECK(has(answer_headline(question), "a change of less than 14\u00a0% could be there and stay hidden"));
    const auto sentences = answer_sentences(*samples::whole_comparison().comparison.question);
    REQUIRE(sentences.size() == 7); // asked, answer, in general, promised and came, told below, agreed, note
    CHECK(has(sentences[2],
              "For the room in general, positions taken as a sample of it: -31\u00a0% (-44 to -15\u00a0%)."));
    CHECK(sentences[3] ==
          "Promised over 50 to 200\u00a0Hz: -30\u00a0% (-40 to -20\u00a0%). Came over the same bands at "
          "the same places: -32\u00a0% (-39 to -24\u00a0%): as predicted.");
    CHECK(sentences[4] ==
          "Less than 12\u00a0% shorter would have been called less than predicted in 80\u00a0% of cases.");
    CHECK(sentences[5] == "What was agreed: met.");
    question.general_percent = question.change_percent; // says no more than the answer
    CHECK(!has(answer_sentences(question)[2], "in general"));
}

TEST_CASE("question, prediction, modes and conditions keep every end in JSON") {
    const CompareReport report = samples::whole_comparison();
    const Json question = question_json(report.comparison);
    CHECK(question["general_low_percent"] == -44);
    CHECK(question["general_high_percent"] == -15);
    CHECK(question["promised_low_percent"] == -40);
    CHECK(question["predicted_low_percent"].is_null()); // 40 Hz has none
    CHECK(question["came_high_percent"] == -24);
    CHECK(question["promised_bands_hz"].size() == 7);
    CHECK(question["places"] == Json({"S1-M1", "S2-M1"}));
    CHECK(question["scope"] == "places");
    CHECK(question["acceptance"] == "met");
    CHECK(question_json(Comparison{}).is_null());
    const Json prediction = prediction_json(report);
    CHECK(prediction["sha256"] == samples::invented_hash('b'));
    CHECK(prediction["stored_before"] == true);
    CHECK(prediction_json(CompareReport{}).is_null());
    const Json modes = modes_json(report.comparison.modes);
    CHECK(modes[0]["before_t60_low_s"] == 1.44);
    CHECK(modes[0]["predicted_t60_high_s"] == 0.85);
    CHECK(modes[2]["after_t60_at_most_s"] == 0.31);
    CHECK(modes[2]["empty"]["change_percent"] == "overlap");
    CHECK(conditions_json(report.comparison.conditions)[0]["effect"] == "modes 0.4 % higher, corrected");
    Json band;
    add_general_and_prediction(band, report.comparison.bands[1]);
    CHECK(band["general_low_percent"] == -45);
    CHECK(band["predicted_low_s"] == 0.5);
    CHECK(band["predicted_high_s"] == 0.7);
    CHECK(band["against_prediction"] == "as predicted");
}

TEST_CASE("bands are counted against the prediction by what came of them") {
    const CompareReport report = samples::whole_comparison();
    const auto sentences = prediction_sentences(report);
    REQUIRE(sentences.size() == 4);
    CHECK(has(sentences[1], "As predicted: 6 of 8 bands"));
    CHECK(sentences[2] == "Less than predicted: 1 of 8 bands, 80\u00a0Hz.");
    CHECK(has(sentences[3], "Cannot tell: 1 of 8 bands, 200\u00a0Hz"));
    CHECK(prediction_text(CompareReport{}).empty());
    CHECK(has(prediction_text(report), "As predicted: 6 of 8 bands"));
    const std::string table = general_and_prediction_text(report.comparison);
    CHECK(has(table, "0.60 (0.50 to 0.70)"));
    CHECK(has(table, "-45 to -10"));
    CHECK(general_and_prediction_text(Comparison{}).empty());
}

TEST_CASE("modes: those that rang longest, by frequency, and every finding counted") {
    const auto modes = samples::whole_comparison().comparison.modes;
    const auto longest = longest_ringing(modes, 2);
    REQUIRE(longest.size() == 2);
    CHECK(longest[0].mode.before_hz == 41.8);
    CHECK(longest[1].mode.before_hz == 63.1);
    CHECK(modes_counts(modes) == "6 shorter, 1 not measurable");
    const std::string text = modes_text(samples::whole_comparison().comparison);
    CHECK(has(text, "Of 7 modes told apart before: 6 shorter, 1 not measurable."));
    CHECK(has(text, "≤ 0.31"));
    CHECK(
        has(text, "Modes predicted one by one: 1. As predicted 1, less 0, more 0; of 0 it cannot be told."));
    CHECK(modes_text(Comparison{}).empty());
}

TEST_CASE("conditions that were the same are told together, others with their effect") {
    const std::string text = conditions_text(samples::whole_comparison().comparison);
    CHECK(has(text, "air temperature: 21.0 °C before, 23.5 °C after; modes 0.4 % higher, corrected."));
    CHECK(has(text, "The same both times: doors and windows (closed)."));
    CHECK(conditions_text(Comparison{}).empty());
}

TEST_CASE("a target is told per visit with its limits from memory, or why there is no judgement") {
    const CompareReport report = samples::whole_comparison();
    const Json json = visit_targets_json(report.targets);
    CHECK(json[0]["bands"][0]["low_s"] == 0.126);
    CHECK(json[0]["bands"][0]["high_s"] == 0.4);
    CHECK(json[0]["bands"][0]["finding"] == "above");
    CHECK(json[1]["bands"][0]["finding"] == "inside");
    CHECK(json[0]["bands"][0]["limits_source"] == "from memory");
    CHECK(json[0]["notes"][0] == target_source_note());
    CHECK(has(target_sentence(report.targets[0]), "above 3 (80 to 125\u00a0Hz)"));
    CHECK(has(visit_targets_text(report.targets), "ITU-R BS.1116-3"));
    VisitTarget none{"before", "something else", {}, {}, NotJudged::unknown_target};
    CHECK(has(target_sentence(none), "This target is not known; write ITU-R BS.1116-3 or EBU Tech 3276"));
    CHECK(visit_targets_json({none})[0]["nominal_s"].is_null());
}

TEST_CASE("the bass response keeps peak and dip, before and after, apart") {
    const BassResponse bass = *samples::whole_comparison().bass_response;
    const Json json = bass_response_json(bass);
    CHECK(json["places"][0]["before"]["peak_db"] == 9.3);
    CHECK(json["places"][0]["before"]["dip_db"] == -14.1);
    CHECK(json["places"][0]["after"]["dip_db"] == -9);
    CHECK(json["unevenness_change_low_db"] == -2.2);
    CHECK(json["unevenness_change_high_db"] == -0.8);
    CHECK(json["spread_after_db"] == 2.6);
    CHECK(bass_response_json({}).is_null());
    CHECK(bass_table(bass).rows.size() == 2);
    CHECK(bass_caption(bass).starts_with(
        "At the listening places, 20 to 200\u00a0Hz, smoothed over 1/6 octave"));
    BassResponse one = bass;
    one.listening = false;
    one.change.unevenness_change_db = Measured::of(-1.5);
    one.change.spread_before_db.reset();
    CHECK(bass_caption(one).starts_with("At all positions"));
    CHECK(bass_sentences(one) ==
          std::vector<std::string>{"Unevenness: -1.5\u00a0dB at one place, without an interval."});
    CHECK(bass_sentences(bass).size() == 2);
    CHECK(has(bass_response_text(bass), "+9.3 at 48"));
    CHECK(has(bass_sentences(bass)[1], "3.4\u00a0dB before, 2.6\u00a0dB after"));
    CHECK(bass_response_text({}).empty());
}

TEST_CASE("clarity is one row per octave's middle, with every measure's interval") {
    const auto changes = samples::whole_comparison().comparison.clarity;
    const DocumentTable table = clarity_table(changes);
    REQUIRE(table.rows.size() == 1); // of 100, 125 and 160 Hz
    CHECK(table.rows[0].cells[1] == "-25 (-33 to -16)");
    const Json json = clarity_json(changes);
    CHECK(json.size() == 6); // all bands
    CHECK(json[1]["measure"] == "c50_db");
    CHECK(json[1]["change_low"] == 1.1);
    CHECK(json[1]["change_high"] == 3.7);
    CHECK(json[1]["before"] == 2.1);
    CHECK(has(clarity_text(changes), "+2.4 (+1.1 to +3.7)"));
    CHECK(clarity_text({}).empty());
}

TEST_CASE("steps between visits belong to a type only where all traps are of one") {
    const CompareReport report = samples::whole_comparison();
    const Json json = by_trap_json(report.by_trap);
    CHECK(json[0]["one_type"] == true);
    CHECK(json[0]["bands"][0]["area_low_m2"] == 1.5);
    CHECK(json[0]["bands"][0]["area_high_m2"] == 2.5);
    CHECK(json[1]["traps"] == Json::array({"front corner", "rear wall"}));
    CHECK(json[1]["bands"][1]["area_m2"].is_null());
    const auto sentences = chain_sentences(report);
    REQUIRE(sentences.size() == 3);
    CHECK(has(sentences[1], "all of one type"));
    CHECK(has(sentences[2], "told apart"));
    CHECK(by_trap_table(report, Units::imperial).rows[0].cells[1] == "21.5 (16.1 to 26.9)");
    CHECK(by_trap_table(CompareReport{}, Units::metric).rows.empty());
    CHECK(has(chain_text(report), "2.0 (1.5 to 2.5)"));
    CHECK(chain_text(CompareReport{}).empty());
}
