// SPDX-License-Identifier: GPL-3.0-or-later
// Modes of a room and the forecast, as text, JSON and CSV.
#include "proof/reports/forecast_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/reports/ringing_report.hpp"
#include "samples/reading.hpp"
#include "samples/room_samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

using namespace ebbmark;
using samples::has;

namespace {

bool even_columns(const std::string& csv) {
    std::istringstream lines(csv);
    std::string line;
    std::getline(lines, line);
    const auto columns = [](const std::string& row) {
        bool quoted = false;
        long commas = 0;
        for (const char letter : row) {
            quoted = quoted != (letter == '"');
            commas += letter == ',' && !quoted;
        }
        return commas;
    };
    const long all = columns(line);
    while (std::getline(lines, line))
        if (columns(line) != all)
            return false;
    return true;
}

} // namespace

TEST_CASE("a mode's object has frequency and decay with both ends, level per position, and its order") {
    const Json json = Json::parse(to_json(samples::ringing_before()));
    const Json mode = json["modes"][0];
    CHECK(mode["hz_low"] == 41.7);
    CHECK(mode["hz_high"] == 41.9);
    CHECK(mode["t60_low_s"] == 1.44);
    CHECK(mode["t60_high_s"] == 1.76);
    CHECK(mode["level_db"] == Json::array({0, -6.5}));
    CHECK(mode["room_mode"] == Json::array({1, 0, 0}));
    CHECK(json["modes"][1]["room_mode"].is_null());
    // Source: closed form. Q = π f T60/(3 ln 10), from the half-power width of an exponential decay.
    CHECK(mode["q"].get<double>() ==
          doctest::Approx(3.14159265 * 41.8 * 1.6 / (3 * 2.302585)).epsilon(0.001));
    CHECK(json["unresolved"][0]["empty"] == "overlap");
    CHECK(json["energy_left"]["after_100_ms_db"] == -4);
    CHECK(json["energy_left"]["empty"]["after_300_ms_db"] == "noise");
    CHECK(json["counts"][0]["expected"] == 4);
    CHECK(json["counts"][0]["found"] == 3);
    CHECK(json["after"].is_null());
}

TEST_CASE("modes of two states are paired, lost or new, and a lost one has only a bound") {
    const Json pairs = Json::parse(to_json(samples::ringing_report()))["after"]["pairs"];
    REQUIRE(pairs.size() == 4);
    CHECK(pairs[0]["became"] == "paired");
    CHECK(pairs[0]["after_hz"] == 41.6);
    CHECK(pairs[1]["became"] == "vanished");
    CHECK(pairs[1]["after_t60_s"].is_null());
    CHECK(pairs[1]["after_t60_at_most_s"] == 0.31);
    CHECK(pairs[3]["became"] == "new");
    CHECK(pairs[3]["before_hz"].is_null());
    CHECK(pairs[3]["after_hz"] == 90);
    RingingReport changed = samples::ringing_report();
    changed.changes[0].change = MeanEstimate{std::log(0.5), 0.05, 5};
    const Json change = Json::parse(to_json(changed))["after"]["pairs"][0];
    CHECK(change["change_percent"] == -50);
    CHECK(change["change_low_percent"].get<double>() < -50);
    CHECK(change["change_high_percent"].get<double>() > -50);
    CHECK(pairs[0]["empty"]["change_percent"] == "one_position");
}

TEST_CASE("the ringing table has a row per mode and range of each state, all equally long") {
    const std::string csv = to_csv(samples::ringing_report());
    CHECK(even_columns(csv));
    CHECK(has(csv, ",level_db a.wav,\"level_db b,c.wav\"\n"));
    CHECK(has(csv, "\nbefore,41.8,41.7,41.9,1.6,1.44,1.76,"));
    CHECK(has(csv, "\nafter,90,"));
    CHECK(has(csv, "120,140,overlap,false"));
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 1 + 2 * (3 + 2));
}

TEST_CASE("the ringing text names what rings longest, what cannot be told, and what is simulated") {
    RingingReport report = samples::ringing_report();
    std::string text = to_text(report);
    for (const char* part : {"41.80", "1.44 to 1.76", "120.0", "overlap",
                             "the loudspeaker's own roll-off: 33 Hz.", "≤ 0.31", "1 0 0"})
        CHECK_MESSAGE(has(text, part), part);
    CHECK(!has(text, "SIMULATED"));
    report.simulated = true;
    CHECK(to_text(report).starts_with("SIMULATED"));
    CHECK(Json::parse(to_json(report))["simulated"] == true);
    CHECK(has(to_csv(report), "overlap,true"));
}

TEST_CASE("a forecast's object keeps before, after and area with their ends, and empty bands their reason") {
    const Json json = Json::parse(to_json(samples::forecast_report()));
    const Json low = json["bands"][0], high = json["bands"][1];
    CHECK(low["method"] == "modal");
    CHECK(low["before_s"] == 1);
    CHECK(low["predicted_low_s"] == 0.6);
    CHECK(low["predicted_high_s"] == 0.8);
    CHECK(low["added_absorption_low_m2"] == 3);
    CHECK(high["method"] == "statistical");
    CHECK(high["predicted_s"].is_null());
    CHECK(high["empty"]["predicted_s"] == "conditions");
    CHECK(json["crossover_hz"].get<double>() ==
          doctest::Approx(70.8).epsilon(0.001)); // IEC 61260-1: 63.1 Hz · G^(1/6)
    CHECK(json["modes"][0]["predicted_t60_low_s"] == 0.7);
    CHECK(json["modes"][1]["empty"]["predicted_t60_s"] == "overlap");
    CHECK(json["modes"][1]["sensitivity"].is_null());
    CHECK(json["plan_meets"] == false);
    CHECK(json["variants"][0]["question_change_percent"] == -33);
    CHECK(json["traps"][0]["absorption"][0]["alpha_low"] == 0.35);
    CHECK(json["traps"][0]["absorption"][0]["alpha_high"] == 0.55);
}

TEST_CASE("how a mode is reached is told by the pressure where the traps are") {
    ForecastMode mode = samples::forecast_report().modal->modes[0];
    CHECK(has(reach_text(mode), "1.8 times the room's mean: they stand where it is loud"));
    mode.at_traps = 1;
    CHECK(has(reach_text(mode), "as any place would"));
    mode.at_traps = 0.2;
    CHECK(has(reach_text(mode), "they hardly reach it"));
    mode.predicted_t60_s = Measured::none(Empty::overlap);
    CHECK(has(reach_text(mode), "no mode after is the same"));
    CHECK(reach_text(samples::forecast_report().modal->modes[1]).starts_with("not named"));
}

TEST_CASE("the forecast's tables: rooms by band, traps alone by trap and band") {
    ForecastReport report = samples::forecast_report();
    const std::string room = to_csv(report);
    CHECK(even_columns(room));
    CHECK(has(room, "\n63,third,modal,1,0.7,0.6,0.8,4,3,5,,,,\n"));
    CHECK(has(room, "\n80,third,statistical,0.9,,,,4.4,3.3,5.5,,,,\n"));
    report.room.bands.clear();
    report.job.clear();
    const std::string traps = to_csv(report);
    CHECK(even_columns(traps));
    CHECK(has(traps, "\n\"front, corner\",63,0.2,0.45,0.35,0.55,invented model\n"));
    CHECK(!Json::parse(to_json(report)).contains("bands"));
}

TEST_CASE("the forecast says whether the plan meets what was agreed, and the least change that does") {
    ForecastReport report = samples::forecast_report();
    const auto text = [&] {
        std::string words = to_text(report);
        std::replace(words.begin(), words.end(), '\n', ' ');
        return words;
    };
    CHECK(has(text(), "The change with the least wool that does: another trap."));
    CHECK(has(text(), "0.70 (0.60 0.80)"));
    CHECK(has(text(), "Kept in the job as predictions/001.csv"));
    for (ForecastVariant& variant : report.variants)
        variant.meets = false;
    CHECK(has(text(), "Neither the plan nor any change above meets"));
    for (ForecastVariant& variant : report.variants)
        variant.meets.reset();
    CHECK(has(text(), "--design tells"));
    report.plan_meets = true;
    CHECK(has(text(), "The plan meets what was agreed"));
    report.plan_meets.reset();
    CHECK(has(text(), "cannot be told"));
    CHECK(!has(text(), "SIMULATED"));
    report.simulated = true;
    CHECK(text().starts_with("SIMULATED"));
    report.modal.reset();
    report.no_modes = NoBox{};
    CHECK(has(text(), "box-shaped rooms alone"));
    CHECK(has(Json::parse(to_json(report))["notes"][0].get<std::string>(), "box-shaped rooms alone"));
}
