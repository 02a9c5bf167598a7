// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/page.hpp"
#include "proof/records/page_content.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/records/redaction.hpp"
#include "proof/reports/json_fields.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <iterator>
#include <sstream>

using namespace ebbmark;
using samples::has;

namespace {

std::string first_page(const ProofInput& input) {
    return samples::words_in(std::vector{proof_first_page(input)});
}

/// The part of a section's texts that are of one kind.
std::vector<std::string> texts_of(const DocumentSection& section, TextKind kind) {
    std::vector<std::string> found;
    for (const DocumentPart& part : section.parts)
        if (const auto* text = std::get_if<DocumentText>(&part); text && text->kind == kind)
            found.push_back(text->words);
    return found;
}

} // namespace

TEST_CASE("the first page gives facts, answer, interval, acceptance and prediction") {
    const DocumentSection page = proof_first_page(samples::proof_input());
    const std::string words = samples::words_in(std::vector{page});
    REQUIRE(texts_of(page, TextKind::finding).size() == 1);
    CHECK(texts_of(page, TextKind::finding)[0] == "Mean decay, third octaves 40 to 200 Hz, at S1-M1 and "
                                                  "S2-M1: shorter by 31\u00a0% (23 to 38\u00a0%).");
    for (const char* part :
         {"Contractor: Invented Acoustics", "Client: Ada Invented", "Invoice: INV-7",
          "Measured: before 2026-11-18, after 2026-11-25", "what it rests on: the next pages"})
        CHECK_MESSAGE(has(words, part), part);
    const std::string answer = samples::words_in(std::vector{proof_answer(samples::proof_input())});
    for (const char* part :
         {"Question (in the promise of 2026-11-20)", "What was agreed: met.",
          "Promised over 50 to 200\u00a0Hz: −30\u00a0% (−40 to −20\u00a0%). Came over the same bands at the "
          "same places: "
          "−32\u00a0% (−39 to −24\u00a0%): as predicted.",
          "40 Hz has no change and is left out of the question.", "What it does not prove"})
        CHECK_MESSAGE(has(answer, part), part);
    CHECK(!has(answer, "Answer:"));
}

TEST_CASE("the first page answers the promise line by line") {
    ProofInput input = samples::proof_input();
    input.job.acceptance = Acceptance{20};
    const DocumentTable table = samples::table_named(std::vector{proof_first_page(input)}, "promised");
    REQUIRE(table.rows.size() == 3);
    CHECK(table.rows[0].cells ==
          std::vector<std::string>{"decay, 50 to 200\u00a0Hz", "shorter by 30\u00a0% (20 to 40\u00a0%)",
                                   "shorter by 32\u00a0% (24 to 39\u00a0%)", "as predicted"});
    CHECK(table.rows[1].cells == std::vector<std::string>{"agreed: mean decay, third octaves 40 to 200 Hz",
                                                          "at least 20\u00a0% shorter",
                                                          "shorter by 31\u00a0% (23 to 38\u00a0%)", "met"});
    CHECK(has(table.rows[2].cells[2], "1 as predicted, 0 less, 0 more; 0 cannot be told"));
    CHECK(has(table.key, "Less than 12\u00a0% shorter would have been called less"));
    input.comparison.comparison.question->promise->told_below_percent.reset();
    CHECK(has(first_page(input), "too uncertain here to show that less came than was promised"));
}

TEST_CASE("few words stand on the first page") {
    // As many as a client reads; with the digits of dates and sizes, without the chart's own.
    std::istringstream words(first_page(samples::proof_input()));
    const auto count = std::distance(std::istream_iterator<std::string>(words), {});
    CHECK(count > 60);
    CHECK(count <= 200);
}

TEST_CASE("what a compared visit lacks stands on the first page before any finding") {
    ProofInput input = samples::proof_input();
    CHECK(!has(first_page(input), "NOT COMPLETE"));
    input.lacks["after"] = {NotMeasured{{{"S1", "M3"}}}};
    const std::string page = first_page(input);
    CHECK(has(page, "NOT COMPLETE. Visit after: positions not measured: S1-M3."));
    CHECK(page.find("NOT COMPLETE") < page.find("Mean decay"));
    input.lacks["after"] = {ProtocolBlank{"after", {"room.doors", "room.windows"}}};
    CHECK(has(first_page(input), "room.windows"));
    input.lacks["after"] = {ProtocolBlank{"after", {"room.doors", "room.windows", "air.a", "air.b"}}};
    CHECK(has(first_page(input), "Visit after: 4 lines of its protocol are blank."));
}

TEST_CASE("a change for the worse leads the first page in the same words as one for the better") {
    ProofInput input = samples::proof_input();
    QuestionFinding& question = *input.comparison.comparison.question;
    question.finding = Finding::longer;
    question.change_percent = {12, 4.2, 21, {}};
    question.acceptance = AcceptanceFinding::not_met;
    const std::string words = first_page(input);
    CHECK(has(words, "longer by 12\u00a0% (4.2 to 21\u00a0%)."));
    CHECK(has(samples::words_in(std::vector{proof_answer(input)}), "What was agreed: not met."));
}

TEST_CASE("a job without a question leads with what its bands say") {
    ProofInput input = samples::proof_input();
    input.comparison.comparison.question.reset();
    const auto finding = texts_of(proof_first_page(input), TextKind::finding);
    REQUIRE(finding.size() == 1);
    CHECK(has(finding[0], "less time after the treatment, in 6 of 10 bands"));
    CHECK(has(finding[0], "It takes 20\u00a0% more time in one band: 80\u00a0Hz"));
    CHECK(!has(first_page(input), "Question ("));
}

TEST_CASE("the chart's caption says whether the prediction came in time, and names the target") {
    CHECK(has(first_page(samples::proof_input()), "Tinted: range predicted before the build."));
    CHECK(has(first_page(samples::proof_input()), "upper limit of ITU-R BS.1116-3 (from memory)"));
    ProofInput late = samples::proof_input();
    late.comparison.comparison.prediction_stored_before = false;
    CHECK(has(first_page(late), "a prediction stored too late to count"));
    CHECK(!has(first_page(late), "predicted before the build"));
    const std::string none = first_page(samples::proof_without_prediction());
    CHECK(!has(none, "Tinted"));
    CHECK(!has(none, "as predicted"));
    ProofInput other = samples::proof_input();
    other.comparison.targets.pop_back(); // only that of the visit before is left
    CHECK(!has(first_page(other), "upper limit"));
}

TEST_CASE("broken evidence stands first on the first page, before any finding") {
    const DocumentSection page = proof_first_page(samples::proof_with_broken_evidence());
    const auto* first = std::get_if<DocumentText>(&page.parts.front());
    REQUIRE(first);
    CHECK(first->kind == TextKind::caution);
    CHECK(first->words ==
          "THE EVIDENCE IS NOT INTACT (changed: visits/after/sounds/S1-M1-01.wav; missing: "
          "predictions/001.csv). What follows rests on the files as they are now and proves nothing.");
    CHECK(!has(first_page(samples::proof_input()), "NOT INTACT"));
}

TEST_CASE("the record opens with its first page and keeps one order: findings, room, record") {
    const ProofInput input = samples::proof_input();
    const Document document = proof_document(input);
    std::vector<std::string> headings;
    for (const DocumentSection& section : document.sections)
        headings.push_back(section.heading);
    std::size_t at = 0;
    for (const char* heading : {"",
                                "The answer, and what it means",
                                "Every band",
                                "Room modes",
                                "What is left of the sound over time",
                                "Decay curves",
                                "Absorption added",
                                "The visits between",
                                "Further measures",
                                "Traps: planned and built",
                                "",
                                "Where everything stood",
                                "Photos",
                                "What a test report after ISO 3382-2 asks for",
                                "Conditions of the two states",
                                "What the intervals are made of",
                                "Every take",
                                "Settings that are not the usual ones",
                                "Quality of the recordings",
                                "Method, limits, cautions",
                                "Evidence"}) {
        REQUIRE_MESSAGE(at < headings.size(), heading);
        CHECK(headings[at++] == heading);
    }
    CHECK(at == headings.size());
    CHECK(document.sections[1].opens_page);
    CHECK(document.title == "Before-and-after measurement record");
    CHECK(document.subtitle == "Before against after: 6 positions, each against itself");
    CHECK(document.date == "2026-11-25T10:00:00+01:00"); // of the newest take
    CHECK(has(document.footer, input.verification.digest));
    CHECK(document.mark.empty());
}

TEST_CASE("a simulated record is marked as a whole and in every chart") {
    const Document real = proof_document(samples::proof_input()),
                   simulated = proof_document(samples::simulated_proof());
    CHECK(!real.simulated);
    CHECK(simulated.simulated);
    for (const char* name : {"decay", "change", "waterfall", "decay-curves", "added-absorption"}) {
        const ChartSize size{560, 340, 9};
        CHECK_MESSAGE(
            has(samples::words_on(samples::chart_named(simulated.sections, name).draw(size)), "SIMULATED"),
            name);
        CHECK_MESSAGE(
            !has(samples::words_on(samples::chart_named(real.sections, name).draw(size)), "SIMULATED"), name);
    }
}

TEST_CASE("the invoice line names visits, positions, finding and the job's digest") {
    ProofInput input = samples::proof_input();
    CHECK(
        invoice_line(input) ==
        "Before-and-after measurement record, measured 2026-11-18 and 2026-11-25: Mean decay, "
        "third octaves 40 to 200 Hz, at S1-M1 and S2-M1: shorter by 31\u00a0% (23 to 38\u00a0%). Record dddd "
        "dddd dddd dddd dddd "
        "dddd dddd dddd.");
    input.visits["before"].date = ""; // then when its first take was made
    CHECK(has(invoice_line(input), "measured 2026-11-18 and"));
    input.comparison.comparison.question->finding = Finding::no_change_shown;
    input.comparison.comparison.question->change_percent = {-5, -15, 6, {}};
    CHECK(has(invoice_line(input), "no change shown (95\u00a0% interval −15 to +6.0\u00a0%)"));
    CHECK(!has(invoice_line(input), "NOT INTACT"));
    CHECK(invoice_line(samples::proof_with_broken_evidence()).ends_with("THE EVIDENCE IS NOT INTACT."));
}

TEST_CASE("the sentence on the seal claims no more than was checked") {
    const ProofInput whole = samples::proof_input(), broken = samples::proof_with_broken_evidence();
    const std::string sealed = sealed_sentence(*whole.promise, whole.verification);
    CHECK(has(sealed, "on 2026-11-20"));
    CHECK(has(sealed, "all 3 files that it lists are in the job"));
    const std::string cracked = sealed_sentence(*broken.promise, broken.verification);
    CHECK(has(cracked, "of the 3 files that it lists only 2 are as they were"));
    CHECK(!has(cracked, "were not changed since"));
    ProofInput outside = broken;
    outside.verification.promises[0].held = 3;
    CHECK(
        has(sealed_sentence(*outside.promise, outside.verification), "differs in this job lies outside it"));
    ProofInput other = samples::proof_input();
    other.verification.promises[0].sha256 = samples::invented_hash('0');
    CHECK(has(sealed_sentence(*other.promise, other.verification), "they prove nothing"));
}

TEST_CASE("what moved since the promise opens the record, and digits of a day stand with the evidence") {
    ProofInput input = samples::proof_input();
    const std::string whole = samples::words_in(proof_document(input));
    CHECK(has(whole, "Since the promise no take was added"));
    CHECK(has(whole, "Takes of later visits: 2, of them 1 left out by hand."));
    CHECK(has(whole, "cccc cccc cccc cccc cccc cccc cccc cccc"));
    CHECK(has(whole,
              "Visit after: no digits were shown after it. Its takes could have been chosen afterwards."));
    CHECK(moved_since_promise(input).empty());
    input.since_promise->added = {"before/S1-M1-02"};
    input.since_promise->protocols = {
        {"visits/before/visit.toml", "visits/before/protocols/001.toml", {"room.doors"}, {}}};
    const std::string moved = samples::words_in(proof_document(input));
    CHECK(has(moved_since_promise(input),
              "in visits that were measured by then: 1 take added, 0 left out by hand, 1 protocol changed."));
    CHECK(moved.find("Since the promise, in visits") < moved.find("shorter by 31"));
    CHECK(has(moved, "added: before/S1-M1-02"));
    CHECK(has(moved, "room.doors"));
    input.digits[0].same_day = false;
    CHECK(has(samples::words_in(proof_document(input)),
              "first shown on 2026-11-18, not on the day of its takes"));
}

TEST_CASE("a redacted record names no client, place or person, in any of its forms") {
    ProofInput input = samples::proof_input();
    const auto forms = [](const ProofInput& shown) {
        const Document document = proof_document(shown);
        const ProofReport report{shown, document, {}};
        return samples::words_in(document) + to_json(report) + to_csv(report) + to_text(report);
    };
    const std::string open = forms(input), closed = forms(redacted(input));
    for (const char* name : {"Ada Invented", "1 Nowhere Street", "INV-7", "Bob Invented", "bobs-garage",
                             "Invented rehearsal room", "corner.jpg"}) {
        CHECK_MESSAGE(has(open, name), name);
        CHECK_MESSAGE(!has(closed, name), name);
    }
    CHECK(proof_document(redacted(input)).mark != "");
    CHECK(has(closed, "shorter by 31"));
    CHECK(has(open, "Invented Acoustics"));
    CHECK(!has(closed, "Invented Acoustics")); // nor whose record it is
    CHECK(!has(closed, input.job.traps.front().name));
    CHECK(has(closed, "trap no. 1"));
    CHECK(has(closed, "left out")); // that a take was is no secret, only why
    CHECK(Json::parse(to_json(
              ProofReport{redacted(input), proof_document(redacted(input)), {}}))["redacted"] == true);
}

TEST_CASE(
    "makes, devices and materials from elsewhere are hidden wherever they stand, plain words only in place") {
    ProofInput input = samples::proof_input();
    input.visits["before"].loudspeaker = "Invented Horn 8";
    input.visits["before"].doors = "shut";
    input.takes.front().device = "ALSA: Invented Card";
    input.job.traps.front().layers.front().material = "Invented Fleece";
    input.foreign_materials = {"Invented Fleece"};
    input.comparison.notes.push_back(Said{"Played on Invented Horn 8, not on another."});
    const ProofInput hidden = redacted(input);
    const Document document = proof_document(hidden);
    const std::string all =
        samples::words_in(document) + to_json(ProofReport{hidden, document, {"somewhere/Ada/proof.pdf"}});
    for (const char* secret : {"Invented Horn", "Invented Card", "Invented Fleece", "somewhere/Ada"})
        CHECK_MESSAGE(!has(all, secret), secret);
    CHECK(has(all, "Played on redacted, not on another."));
    CHECK(hidden.visits.at("before").doors == "redacted");
    CHECK(without_words("shut up", hidden.hidden_words) == "shut up");
}

TEST_CASE("patches and parts are told by number, and their states not at all, where nobody is to be known") {
    ProofInput input = samples::proof_input();
    input.job.room.parts = {{"Ada's alcove", RoomPart::Kind::recess, {1, -0.3, 0}, {2, 0, 2}}};
    input.job.room.patches = {{"Ada's hatch", RoomPatch::Kind::door, {Wall::right, {2, 0}, {3, 2}}}};
    input.visits["before"].patches["Ada's hatch"] = "ajar";
    input.comparison.comparison.conditions.push_back(
        {"Ada's hatch", "ajar", "not recorded", ConditionEffect::none, "cannot be compared"});
    const ProofInput hidden = redacted(input);
    const Document document = proof_document(hidden);
    const std::string all = samples::words_in(document) + to_json(ProofReport{hidden, document, {}});
    for (const char* secret : {"alcove", "hatch", "ajar"})
        CHECK_MESSAGE(!has(all, secret), secret);
    CHECK(has(all, "door no. 1"));
    CHECK(has(all, "part no. 1"));
    const ProofInput open = input;
    CHECK(has(samples::words_in(proof_document(open)), "Ada's hatch: ajar"));
}

TEST_CASE("the proof's JSON holds the numbers that its tables print") {
    const ProofInput input = samples::proof_input();
    const Document document = proof_document(input);
    const Json json = Json::parse(to_json(ProofReport{input, document, {"results/proof.pdf"}}));
    CHECK(json["ebbmark"] == "proof");
    CHECK(json["simulated"] == false);
    CHECK(json["intact"] == true);
    CHECK(json["warning"].is_null());
    CHECK(json["promise"]["file"] == "promises/001.toml");
    CHECK(json["invoice_line"] == invoice_line(input));
    CHECK(json["pages"] == Json::array({"results/proof.pdf"}));
    CHECK(json["comparison"]["question"]["change_percent"] == -31);
    CHECK(json["comparison"]["bands"].size() == 10);
    const auto tables = tables_of(document);
    REQUIRE(json["tables"].size() == tables.size());
    for (std::size_t i = 0; i < tables.size(); ++i) {
        CHECK(json["tables"][i]["name"] == tables[i]->name);
        REQUIRE(json["tables"][i]["rows"].size() == tables[i]->rows.size());
        for (std::size_t k = 0; k < tables[i]->rows.size(); ++k)
            CHECK(json["tables"][i]["rows"][k] == Json(tables[i]->rows[k].cells));
    }
    CHECK(to_csv(ProofReport{input, document, {}}) == to_csv(input.comparison));
}

TEST_CASE("broken evidence is told in JSON and text with what was found") {
    const ProofInput input = samples::proof_with_broken_evidence();
    const Document document = proof_document(input);
    const ProofReport report{input, document, {}};
    const Json json = Json::parse(to_json(report));
    CHECK(json["intact"] == false);
    CHECK(has(json["warning"], "predictions/001.csv"));
    REQUIRE(json["notes"].size() == 1);
    CHECK(has(json["notes"][0], "visits/after/takes/S1-M1-02.toml is not in evidence.sha256"));
    CHECK(to_text(report).starts_with("THE EVIDENCE IS NOT INTACT"));
    CHECK(has(to_text(report), "visits/after/takes/S1-M1-02.toml is not in evidence.sha256"));
}

TEST_CASE("the proof's text begins with SIMULATED where it is, and gives digits and pages") {
    const ProofInput real = samples::proof_input(), simulated = samples::simulated_proof();
    const Document document = proof_document(simulated);
    const std::string text = to_text(ProofReport{simulated, document, {"results/proof.pdf"}});
    CHECK(text.starts_with("SIMULATED"));
    CHECK(has(text, "    0123 4567 89ab cdef 0123 4567 89ab cdef\n"));
    CHECK(has(text, "Digest: " + samples::invented_hash('d')));
    CHECK(has(text, "Written: results/proof.pdf"));
    CHECK(Json::parse(to_json(ProofReport{simulated, document, {}}))["simulated"] == true);
    ProofInput without = real;
    without.promise.reset();
    const Document plain = proof_document(without);
    const std::string unsealed = to_text(ProofReport{without, plain, {}});
    CHECK(!has(unsealed, "SIMULATED"));
    CHECK(has(unsealed, "Sealed by the contractor only"));
    CHECK(Json::parse(to_json(ProofReport{without, plain, {}}))["promise"].is_null());
}

TEST_CASE("the page warns of evidence in its headline and explains only what occurs") {
    const CompareReport report = samples::whole_comparison();
    const Document page = page_document(report, {"0.1.0", "2026-11-25"});
    const auto headline = [](const Document& of) {
        return std::get<DocumentText>(of.sections.front().parts.front()).words;
    };
    CHECK(has(headline(page), "shorter by 31"));
    CHECK(has(page.subtitle, "one-third-octave bands"));
    CHECK(page.footer == "Ebbmark 0.1.0 · 2026-11-25");
    std::string meaning;
    for (const std::string& paragraph : meaning_of(report.comparison).paragraphs)
        meaning += paragraph + '\n';
    CHECK(has(meaning, "Longer:"));
    CHECK(has(meaning, "No change shown:"));
    CHECK(!has(meaning, "Shown unchanged:"));
    CHECK(headline(page_document(samples::proof_with_broken_evidence().comparison, {}))
              .starts_with("THE EVIDENCE IS NOT INTACT"));
}
