// SPDX-License-Identifier: GPL-3.0-or-later
// What stands in the sections of the record behind its first page.
#include "proof/records/modes_table.hpp"
#include "proof/records/page_content.hpp"
#include "proof/records/plan_words.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/words/wording.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;
using samples::has;
using samples::row_of;
using samples::table_named;
using Cells = std::vector<std::string>;

namespace {

std::string findings(const ProofInput& input) {
    return samples::words_in(proof_findings(input));
}

std::string room(const ProofInput& input) {
    return samples::words_in(proof_room(input));
}

std::string record(const ProofInput& input) {
    return samples::words_in(proof_record(input));
}

} // namespace

// --- bands

TEST_CASE("every band has before, after, change, interval and finding in their columns") {
    const DocumentTable table = bands_table(samples::whole_comparison(), Units::metric);
    std::vector<std::string> heads;
    for (const DocumentColumn& column : table.columns)
        heads.push_back(column.head);
    CHECK(heads == Cells{"band", "before", "after", "change", "95\u00a0% interval", "could show", "finding",
                         "predicted", "added"});
    CHECK(row_of(table, "40") ==
          Cells{"40", "0.90", "0.63", "−30", "−38 to −21", "14", "shorter", "0.60", "4.2 (3.1 to 5.6)"});
    CHECK(row_of(table, "80") ==
          Cells{"80", "0.90", "1.08", "+20", "+11 to +30", "14", "longer", "0.60", "−1.5 (−2.4 to −0.7)"});
    CHECK(row_of(table, "250") ==
          Cells{"250", "0.90", "≤ 0.19", "filter", "–", "–", "not measurable", "–", "–"});
    CHECK(row_of(table, "31.5") == Cells{"31.5", "–", "–", "source", "–", "–", "not measurable", "–", "–"});
    CHECK(has(table.key, "filter = shorter than the band filter can show"));
    CHECK(has(table.key, "source = the test signal has nothing there"));
    CHECK(!has(table.key, "noise"));
    CHECK(table.rows[1].strong);  // shorter
    CHECK(table.rows[4].strong);  // longer, with equal weight
    CHECK(!table.rows[8].strong); // no change shown
    CHECK(table.rows[0].quiet);
    CHECK(row_of(bands_table(samples::whole_comparison(), Units::imperial), "40").back() ==
          "45.2 (33.4 to 60.3)");
}

TEST_CASE("bands without volume and prediction have no columns for them") {
    CompareReport report = samples::whole_comparison();
    report.volume_m3.reset();
    report.prediction.reset();
    CHECK(bands_table(report, Units::metric).columns.size() == 7);
    report.comparison.bands[3].metric = Metric::t30;
    const DocumentTable mixed = bands_table(report, Units::metric);
    CHECK(has(mixed.caption, "T20/T30"));
    CHECK(row_of(mixed, "T30 63")[1] == "0.90");
}

TEST_CASE("the room in general and the prediction stand band by band beside each other") {
    const auto sections = proof_findings(samples::proof_input());
    const DocumentTable general = table_named(sections, "general");
    CHECK(row_of(general, "40") ==
          Cells{"40", "−30", "−45 to −10", "0.60", "0.50 to 0.70", "0.63", "as predicted"});
    CHECK(row_of(general, "80").back() == "less than predicted");
    const auto without = proof_findings(samples::proof_without_prediction());
    CHECK(row_of(table_named(without, "general"), "40") == Cells{"40", "−30", "−45 to −10"});
    CHECK(!has(samples::words_in(without), "stored on"));
}

TEST_CASE("the findings name what the headline leaves out and when the prediction was stored") {
    const std::string words = findings(samples::proof_input());
    CHECK(has(words,
              "No change shown in 1 of 10 bands, 200\u00a0Hz. That is not proof of sameness: a change of "
              "less than 21\u00a0% could be there"));
    CHECK(has(words, "Not measurable: 2 of 10 bands"));
    CHECK(has(words, "stored on 2026-11-19T12:00:00+01:00, before visit after was measured"));
    ProofInput late = samples::proof_input();
    late.comparison.comparison.prediction_stored_before = false;
    CHECK(has(findings(late), "after visit after was measured"));
    CHECK(has(findings(late), "no proof of a promise"));
}

// --- modes

TEST_CASE("a mode's row has both decay times with their intervals, or the bound") {
    const CompareReport report = samples::whole_comparison();
    const DocumentTable table = modes_table(report.comparison.modes, report);
    REQUIRE(table.rows.size() == 7);
    CHECK(row_of(table, "41.8") == Cells{"41.8", "41.6", "1.60", "1.44 to 1.76", "0.80", "0.72 to 0.88",
                                         "−50", "−57 to −42", "shorter"});
    CHECK(row_of(table, "63.1") ==
          Cells{"63.1", "–", "1.20", "1.08 to 1.32", "≤ 0.31", "–", "–", "–", "not measurable"});
    CHECK(table.rows[0].strong);
    CHECK(table.rows[2].quiet);
    const DocumentTable predicted = modes_prediction_table(report.comparison.modes);
    REQUIRE(predicted.rows.size() == 1);
    CHECK(predicted.rows[0].cells == Cells{"41.8", "0.70", "0.60 to 0.85", "0.80", "as predicted"});
    CHECK(
        modes_prediction_table(samples::proof_without_prediction().comparison.comparison.modes).rows.empty());
}

TEST_CASE("the section of modes counts their findings") {
    CHECK(has(findings(samples::proof_input()),
              "Room modes told apart before, all positions together: 7 – 6 shorter, 1 not measurable"));
    ProofInput none = samples::proof_input();
    none.comparison.comparison.modes.clear();
    CHECK(has(findings(none), "No room mode could be told apart before the build."));
}

// --- over time

TEST_CASE("the waterfall names what rings on, or says that noise hides it") {
    const ProofInput input = samples::proof_input();
    const DocumentTable ridges = table_named(proof_findings(input), "waterfall");
    REQUIRE(!ridges.rows.empty());
    CHECK(ridges.rows[0].cells == Cells{"before", "60.0", "2.00"});
    CHECK(has(findings(input), "At S1-M1, both visits in the same layers"));
    ProofInput noisy = input;
    noisy.waterfall->entries[1].waterfall.noise_db = -10;
    CHECK(has(findings(noisy), "At S1-M1 the noise in visit after leaves nothing to be seen over time."));
    CHECK(!has(findings(noisy), "both visits in the same layers"));
    noisy.waterfall.reset();
    CHECK(!has(findings(noisy), "What is left of the sound over time"));
}

// Source: closed form. A straight decay of T for 60 dB is 5 dB down after T/12.
TEST_CASE("decay curves are tabled at the times when they reach each level, before over after") {
    const DocumentTable curves = table_named(proof_findings(samples::proof_input()), "decay-curves");
    REQUIRE(curves.rows.size() == 2);
    CHECK(curves.rows[0].cells == Cells{"63", "before", "1.20", "0.10", "0.30", "0.50", "0.70", "0.90"});
    CHECK(curves.rows[1].cells == Cells{"63", "after", "0.60", "0.050", "0.15", "0.25", "0.35", "0.45"});
    ProofInput cut = samples::proof_input();
    cut.curves.pairs[0].after.resize(20); // down to −19 dB
    CHECK(table_named(proof_findings(cut), "decay-curves").rows[1].cells ==
          Cells{"63", "after", "0.60", "0.050", "0.15", "–", "–", "–"});
    cut.curves.pairs.clear();
    CHECK(!has(findings(cut), "Decay curves"));
}

// --- absorption

TEST_CASE("added absorption is measured beside predicted, and below the Schroeder frequency only as if") {
    const ProofInput input = samples::proof_input();
    const DocumentTable added = table_named(proof_findings(input), "added-absorption");
    CHECK(row_of(added, "40")[1] == "4.2 (3.1 to 5.6)");
    // Source: published. ISO 354:2003, clause 8 (from memory): A = 55.3 V/c · (1/T after − 1/T before), 343
    // m/s at 20 °C; 35.178 m³, 0.9 s before, 0.6 s predicted (0.5 to 0.7 s): 3.151 m² (1.801 to 5.041 m²).
    CHECK(row_of(added, "40")[2] == "3.2 (1.8 to 5.0)");
    CHECK(std::none_of(added.rows.begin(), added.rows.end(),
                       [](const DocumentRow& row) { return row.cells[0] == "31.5"; }));
    CHECK(has(findings(input), "Below the Schroeder frequency of 302\u00a0Hz"));
    ProofInput unknown = input;
    unknown.comparison.volume_m3.reset();
    CHECK(has(findings(unknown), "The room's volume is not given, so no absorption area can be told."));
}

TEST_CASE("the visits between tell what each step added") {
    const ProofInput input = samples::proof_input();
    const std::string words = findings(input);
    CHECK(has(words, "Visit between against before:"));
    CHECK(has(words, "New in visit between: rear wall, all of one type"));
    CHECK(has(words, "New in visit after: front corner, rear wall, of several types"));
    const DocumentTable steps = table_named(proof_findings(input), "by-trap");
    CHECK(row_of(steps, "100") == Cells{"100", "2.0 (1.5 to 2.5)", "1.0 (0.2 to 1.8)"});
    CHECK(row_of(steps, "125") == Cells{"125", "2.2", "–"});
    ProofInput two = input;
    two.comparison.earlier.clear();
    two.comparison.by_trap.clear();
    CHECK(!has(findings(two), "The visits between"));
}

TEST_CASE("further measures: target, bass response, clarity, and no heading without any") {
    const ProofInput input = samples::proof_input();
    const std::string words = findings(input);
    CHECK(has(words, "Visit before, mean over the room, 3 bands with limits: above 3"));
    CHECK(has(words, "Visit after, mean over the room, 3 bands with limits: inside 3"));
    CHECK(has(words, target_source_note()));
    CHECK(row_of(table_named(proof_findings(input), "bass-response"), "S1-M1") ==
          Cells{"S1-M1", "+9.3 at 48", "−14.1 at 71", "5.6", "+6.2 at 50", "−9.0 at 71", "4.1"});
    CHECK(has(words,
              "Unevenness, mean over the places: −1.5\u00a0dB (95\u00a0% interval −2.2 to −0.8\u00a0dB)"));
    CHECK(row_of(table_named(proof_findings(input), "clarity"), "125") ==
          Cells{"125", "−25 (−33 to −16)", "+2.4 (+1.1 to +3.7)", "–", "–", "–"});
    ProofInput bare = input;
    bare.comparison.targets.clear();
    bare.comparison.bass_response.reset();
    bare.comparison.comparison.clarity.clear();
    CHECK(!has(findings(bare), "Further measures"));
}

// --- room

TEST_CASE("what was planned, built and measured stands side by side, once what was built is worked out") {
    ProofInput input = samples::proof_input();
    input.job.traps[0].built = BuiltTrap{{}, {}, 4.0};
    CHECK(has(room(input), "Built otherwise than planned: rear wall. What was built was not worked out"));
    StoredPrediction built;
    built.file = "predictions/002.csv";
    built.stored_at = "2026-12-20T09:00:00+01:00";
    built.original_name = computed_as_built;
    built.prediction.bands = {{63, {0.66, 0.6, 0.72, {}}, {}, BandWidth::third},
                              {250, {0.3, 0.2, 0.4, {}}, {}, BandWidth::third}};
    input.as_built = built;
    const DocumentTable table = table_named(proof_room(input), "planned-built-measured");
    REQUIRE(table.rows.size() == 1); // 250 Hz is none of the question's
    CHECK(table.rows[0].cells == Cells{"63", "0.90", "0.60", "0.50 to 0.70", "0.66", "0.60 to 0.72", "0.63"});
    CHECK(has(table.key, "judges nothing"));
    input.job.traps[0].built = BuiltTrap{};
    CHECK(!has(room(input), "worked out"));
}

TEST_CASE("the budgets of what was measured and of what was promised stand in the record") {
    const auto sections = proof_record(samples::proof_input());
    const DocumentTable measured = table_named(sections, "budget-measured");
    CHECK(has(measured.caption, "S1-M1, S2-M1"));
    CHECK(row_of(measured, "fits of the decays")[1] == "3.0\u00a0%");
    CHECK(row_of(measured, "putting the microphone back")[1] == "4.0\u00a0%");
    CHECK(row_of(measured, "drift")[1] == "2.0\u00a0%");
    CHECK(row_of(measured, "all together")[1] == "5.4\u00a0%");
    CHECK(has(row_of(measured, "all together")[2], "14.0 degrees of freedom, so 2.14 times"));
    const DocumentTable promised = table_named(sections, "budget-promised");
    CHECK(row_of(promised, "materials")[1] == "6.0\u00a0%");
    ProofInput without = samples::proof_input();
    without.comparison.comparison.question->promise->promised_parts.reset();
    CHECK(has(record(without), "does not say what its intervals are made of"));
    without.comparison.comparison.question->budget.reset();
    CHECK(!has(record(without), "What the intervals are made of"));
}

TEST_CASE("traps stand with what was planned and what was built") {
    const ProofInput input = samples::proof_input();
    const DocumentTable traps = table_named(proof_room(input), "traps");
    CHECK(row_of(traps, "A")[5] ==
          "rear wall, 0.80\u00a0m along, 0.30\u00a0m up; 8.4\u00a0kg of wool weighed in");
    CHECK(row_of(traps, "A")[3] == "rear wall, 1.05\u00a0m along, 0.30\u00a0m up");
    CHECK(row_of(traps, "B")[5] == "not recorded");
    CHECK(!has(room(input), "Nothing was recorded as built otherwise"));
    ProofInput same = input;
    same.job.traps[0].built = BuiltTrap{};
    CHECK(row_of(table_named(proof_room(same), "traps"), "A")[5] == "as planned");
    CHECK(has(room(same), "Nothing was recorded as built otherwise than planned"));
    same.job.traps.clear();
    CHECK(has(room(same), "No trap is described in the job."));
}

TEST_CASE("what job.toml says otherwise than the promise is laid side by side") {
    const ProofInput input = samples::proof_input();
    CHECK(has(room(input), "job.toml plans now what the promise of 2026-11-20 fixed"));
    ProofInput other = input;
    other.described.question.to_hz = 400;
    other.described.acceptance.reset();
    other.described.microphones.pop_back();
    other.described.microphones[1].at_m[2] = 1.4;
    other.described.traps[1].layers[0].thickness_m = 0.1;
    const DocumentTable fixed = table_named(proof_room(other), "fixed");
    REQUIRE(fixed.rows.size() == 5);
    CHECK(row_of(fixed, "the question")[1] == "third octaves from 40\u00a0Hz to 200\u00a0Hz");
    CHECK(row_of(fixed, "the question")[2] == "third octaves from 40\u00a0Hz to 400\u00a0Hz");
    CHECK(fixed.rows[1].cells[1] == "at least 20\u00a0% shorter");
    CHECK(fixed.rows[1].cells[2] == "nothing agreed");
    CHECK(row_of(fixed, "the microphone place M3")[2] == "not there");
    CHECK(has(row_of(fixed, "the microphone place M2")[1], "1.35\u00a0m up; microphone"));
    CHECK(has(row_of(fixed, "the microphone place M2")[2], "1.40\u00a0m up; microphone"));
    const auto trap = row_of(fixed, "the trap \"front corner\"");
    CHECK(has(trap[1], "20\u00a0cm invented wool"));
    CHECK(has(trap[2], "10\u00a0cm invented wool"));
    CHECK(has(trap[1], "sides open"));
    CHECK(has(room(other), "The promise of 2026-11-20 counts"));
    CHECK(!has(room(other), "job.toml plans now what"));
    other.promise.reset();
    CHECK(has(room(other), "No promise fixes the plan"));
    CHECK(has(room(other),
              "What was fixed on 2026-11-20 counts, when the first take after the build was kept"));
}

TEST_CASE("places are listed from the front left floor corner, and without a box there is no sketch") {
    const ProofInput input = samples::proof_input();
    const DocumentTable places = table_named(proof_room(input), "places");
    CHECK(row_of(places, "S2") == Cells{"S2", "0.50\u00a0m", "2.70\u00a0m", "0.60\u00a0m", "loudspeaker"});
    CHECK(row_of(places, "M1").back() == "microphone, listening place");
    CHECK(row_of(places, "M2").back() == "microphone");
    CHECK(has(room(input), "Dashed: where a trap was planned"));
    ProofInput odd = input;
    odd.job.room.box.reset();
    CHECK(has(room(odd), "No sketch: the job gives the room no length, width and height."));
}

TEST_CASE("the room's parts are named with its size, and counted in its volume") {
    JobRoom room = samples::job().room;
    CHECK(room_size(room, Units::metric) == "4.10\u00a0m × 3.30\u00a0m × 2.60\u00a0m, 35.2\u00a0m³");
    room.parts = {{"chimney breast", RoomPart::Kind::solid, {0, 1, 0}, {0.4, 2.2, 2.6}},
                  {"niche", RoomPart::Kind::recess, {1, -0.3, 0}, {2, 0, 2}},
                  {"bay", RoomPart::Kind::recess, {2.5, -0.3, 0}, {3, 0, 2}}};
    room.volume_m3 = RoomShape{*room.box, room.parts}.volume_m3();
    CHECK(room_size(room, Units::metric) ==
          "4.10\u00a0m × 3.30\u00a0m × 2.60\u00a0m, 34.8\u00a0m³, with a solid part: chimney breast; "
          "recesses: niche, bay");
}

TEST_CASE("a photo that cannot be shown is named with the reason") {
    CHECK(has(room(samples::proof_input()),
              "lost.jpg is named in the job but could not be shown: it is no picture."));
    CHECK(has(room(samples::proof_input()), "\ncorner.jpg\n"));
    ProofInput none = samples::proof_input();
    none.photos.clear();
    CHECK(!has(room(none), "Photos"));
}

// --- record

TEST_CASE("the items of a test report are those of each visit, and what nobody noted is not given") {
    const DocumentTable items = table_named(proof_record(samples::proof_input()), "test-report");
    CHECK(row_of(items, "date") == Cells{"date", "2026-11-18", "2026-11-25"});
    CHECK(row_of(items, "air temperature, relative humidity") ==
          Cells{"air temperature, relative humidity", "21.0\u00a0°C to 21.5\u00a0°C, 45\u00a0%",
                "23.5\u00a0°C to 24.0\u00a0°C, 45\u00a0%"});
    CHECK(row_of(items, "microphone") == Cells{"microphone", "invented microphone", "the same"});
    CHECK(row_of(items, "recorder") == Cells{"recorder", "not given", "the same"});
    CHECK(row_of(items, "source-microphone pairs (* listening place)")[1] == "S1-M1*, S1-M2");
    CHECK(row_of(items, "calibration (decay times need none)")[1] == "none kept: levels are relative");
    CHECK(has(row_of(items, "condition of the room")[1], "furniture: not given; doors: closed"));
    ProofInput patched = samples::proof_input();
    patched.job.room.patches = {{"loft hatch", RoomPatch::Kind::door, {}},
                                {"front window", RoomPatch::Kind::window, {}}};
    patched.visits["before"].patches["loft hatch"] = "ajar";
    CHECK(has(row_of(table_named(proof_record(patched), "test-report"), "condition of the room")[1],
              "loft hatch: ajar; front window: not given"));
    // The first take after that is in use has another level.
    CHECK(has(row_of(items, "test signal")[1], "peak -12\u00a0dBFS"));
    CHECK(has(row_of(items, "test signal")[2], "peak -6\u00a0dBFS"));
    CHECK(has(row_of(items, "degree of precision")[1], "Engineering"));
    ProofInput other = samples::proof_input();
    other.takes[0].calibrations = {
        {CalibrationKind::calibrator, "calibrations/c.wav", "", "2026-10-01", 0.1}};
    for (Take& take : other.takes)
        if (take.visit == "after")
            take.sweep.reset();
    const DocumentTable changed = table_named(proof_record(other), "test-report");
    CHECK(row_of(changed, "calibration (decay times need none)")[1] == "calibrator (2026-10-01)");
    CHECK(row_of(changed, "test signal")[2] == "impulse responses made elsewhere");
}

TEST_CASE("conditions are tabled with their effect, and notes on a visit are quoted") {
    const ProofInput input = samples::proof_input();
    CHECK(row_of(table_named(proof_record(input), "conditions"), "air temperature") ==
          Cells{"air temperature", "21.0\u00a0°C", "23.5\u00a0°C", "modes 0.4 % higher, corrected"});
    ProofInput in_feet = input;
    in_feet.units = Units::imperial;
    CHECK(row_of(table_named(proof_record(in_feet), "conditions"), "air temperature")[1] == "69.8\u00a0°F");
    CHECK(has(record(input), "Notes on visit after: Bob Invented was there."));
}

TEST_CASE("every take is listed with its state and why, and the states are counted") {
    const ProofInput input = samples::proof_input();
    CHECK(has(record(input),
              "5 takes made: 2 used, 1 returns used, 1 rejected by their own checks, 1 left out by "
              "hand. Nothing is deleted."));
    const DocumentTable takes = table_named(proof_record(input), "takes");
    REQUIRE(takes.rows.size() == 5);
    CHECK(takes.rows[0].cells[3] == "used");
    CHECK(takes.rows[1].cells[0] == "before/S1-M1-return-01");
    CHECK(takes.rows[1].cells[3] == "return");
    CHECK(takes.rows[2].cells[3] == "rejected");
    CHECK(takes.rows[2].cells[4] == "rejected: 31 samples at full scale; nothing of it is used");
    CHECK(takes.rows[3].cells[4] == "widened: a lorry; 50 Hz is left out");
    CHECK(takes.rows[4].cells[3] == "left out");
    CHECK(takes.rows[4].cells[4] == "a door was opened by Bob Invented");
    CHECK(takes.rows[0].cells[2] == "invented interface");
    CHECK(takes.rows[4].cells[2] == "bobs-garage.wav");
    CHECK(takes.rows[2].strong);
    CHECK(!takes.rows[3].strong);
    ProofInput alike = input;
    alike.takes.pop_back();
    const DocumentTable short_table = table_named(proof_record(alike), "takes");
    CHECK(short_table.columns.size() == 4);
    CHECK(short_table.key == "All takes: invented interface.");
}

TEST_CASE("settings that are not the usual ones name their takes") {
    ProofInput input = samples::proof_input();
    CHECK(has(record(input), "Sweep at a peak of −6 (usually −12)\u00a0dBFS in after/S1-M1-02.\n"));
    for (Take& take : input.takes) {
        take.sweep->level_dbfs = -12;
        take.channel = 2;
    }
    CHECK(has(record(input), "Recorded on channel 2 (usually 1) in all takes."));
    input.takes[0].kind = SoundKind::response;
    input.takes[0].loopback_channel = 3;
    CHECK(has(record(input), "Impulse response made elsewhere, not a recording, in before/S1-M1-01."));
    CHECK(has(record(input), "Electrical loopback on channel 3 in before/S1-M1-01."));
    for (Take& take : input.takes)
        take = input.takes[1], take.channel = 1;
    CHECK(has(record(input), "All settings are the program's usual ones."));
}

TEST_CASE("quality gives each check's worst figure and how often it fell, over all takes") {
    const ProofInput input = samples::proof_input();
    const DocumentTable quality = table_named(proof_record(input), "quality");
    CHECK(row_of(quality, "clipping") == Cells{"clipping", "31", "0", "samples", "5", "0", "0", "1"});
    CHECK(row_of(quality, "disturbance") == Cells{"disturbance", "26", "20", "sounds", "5", "0", "1", "0"});
    ProofInput held = input;
    held.takes.resize(2);
    held.takes[1].checks[1].figure = 19;
    CHECK(row_of(table_named(proof_record(held), "quality"), "disturbance") ==
          Cells{"disturbance", "19", "20", "sounds", "2", "0", "0", "0"}); // nearest to the limit
    for (Take& take : held.takes)
        take.checks.clear();
    CHECK(has(record(held), "The takes hold no checks"));
}

TEST_CASE("evidence: intact is said only where it is, with files, seal and how to check") {
    const ProofInput input = samples::proof_input();
    const std::string words = record(input);
    CHECK(has(words, "all 23 files of the evidence agree with the job's list"));
    CHECK(has(words, "The 12 impulse responses were made anew"));
    CHECK(has(words, "ebbmark verify JOB --digest " + samples::invented_hash('d')));
    CHECK(has(words, "The question was fixed in the promise of 2026-11-20."));
    const DocumentTable evidence = table_named(proof_record(input), "evidence");
    CHECK(row_of(evidence, "visits/before/sounds/S1-M1-01.wav")[1] == samples::invented_hash('2'));
    const std::string broken = record(samples::proof_with_broken_evidence());
    CHECK(has(broken, "THE EVIDENCE IS NOT INTACT (changed: visits/after/sounds/S1-M1-01.wav"));
    CHECK(has(broken, "visits/after/takes/S1-M1-02.toml is not in evidence.sha256"));
    CHECK(!has(broken, "files of the evidence agree"));
    CHECK(!has(broken, "were not changed since"));
    ProofInput unsealed = input;
    unsealed.promise.reset();
    unsealed.kept_differ = KeptResponsesDiffer{{"results/one.wav", "results/two.wav"}};
    unsealed.responses_made = 0;
    CHECK(has(record(unsealed), "Sealed by the contractor only"));
    CHECK(has(record(unsealed), "2 responses kept in the job were not what the recording gives"));
    CHECK(!has(record(unsealed), "impulse responses were made anew"));
}

TEST_CASE("method and cautions stand in the record, with every remark") {
    const std::string words = record(samples::proof_input());
    for (const char* part : {"Holm's correction", "hearing protection", "Wool: wear gloves",
                             "its interval holds the fit of each decay and the return of the microphone.",
                             "80\u00a0Hz: 1 position without a value in both states left out (noise)."})
        CHECK_MESSAGE(has(words, part), part);
}
