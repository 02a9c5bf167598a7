// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/visit_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

using namespace ebbmark;

namespace {

MeasuredPosition position(const char* name, double factor) {
    MeasuredPosition measured{
        parse_position(name), {std::string(name) + "-01"}, 48000, samples::decay_report().responses[0].decay};
    for (BandDecay& band : measured.decay.bands)
        for (Measured BandDecay::*time : {&BandDecay::edt_s, &BandDecay::t20_s, &BandDecay::t30_s})
            if (Measured& value = band.*time)
                for (auto* number : {&value.value, &value.low, &value.high})
                    **number *= factor;
    return measured;
}

/// An invented room with four positions, two of them at the listening place, and a return.
VisitReport report() {
    JobDescription job;
    job.room.box = Box{{4.1, 3.3, 2.6}};
    job.room.volume_m3 = job.room.box->volume_m3();
    job.room.surface_m2 = job.room.box->surface_m2();
    job.room.target = "ITU-R BS.1116-3";
    job.sources = {{"S1", {0.6, 0.7, 1.2}, {}, "", {}}, {"S2", {0.5, 2.7, 0.6}, {}, "", {}}};
    job.microphones = {{"M1", {2.4, 1.65, 1.2}, {}, "", true},
                       {"M2", {1.9, 2.3, 1.35}, {}, "", false},
                       {"M3", {3.2, 0.95, 1.5}, {}, "", false}};
    VisitProtocol protocol;
    protocol.temperature_start_c = 21;
    protocol.humidity_end_percent = 45;
    return {false, "before", std::string(64, 'a'), "0.1.0",
            visit_result(job, protocol,
                         {position("S1-M1", 1.1), position("S1-M2", 1), position("S1-M3", 0.93),
                          position("S2-M1", 1), position("S2-M2", 1.05), position("S2-M3", 0.97)},
                         {position("S1-M1", 1.12)})};
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        lines.push_back(line);
    return lines;
}

} // namespace

TEST_CASE("a visit's object has what a job adds to decay, and its responses stay as without a job") {
    const VisitReport visit = report();
    const Json json = Json::parse(to_json(visit));
    CHECK(json["ebbmark"] == "decay");
    CHECK(json["visit"] == "before");
    REQUIRE(json["responses"].size() == 6);
    const Json plain = Json::parse(to_json(positions_of(visit)));
    for (const Json& response : json["responses"]) {
        CHECK(response["position"].is_string());
        CHECK(response["take"].is_string());
        Json without = response;
        for (const char* added : {"position", "take", "listening"})
            without.erase(added);
        CHECK(samples::difference_in_shape(plain["responses"][0], without) == "");
    }
    CHECK(json["responses"][1]["bands"] == plain["responses"][1]["bands"]);
    for (const char* key : {"volume_m3", "schroeder_hz", "absorption_m2"})
        CHECK(json["room"].contains(key));
    CHECK(json["targets"].size() == 1);
    CHECK(json["grade"]["reached"] == "survey");
    CHECK(json["return"]["position"] == "S1-M1");
}

TEST_CASE("the average has times, intervals, positions and spread, or the reason") {
    const Json json = Json::parse(to_json(report()));
    REQUIRE(json["average"]["bands"].size() == 28);
    for (const Json& band : json["average"]["bands"]) {
        for (const char* key : {"t20_s", "t20_low_s", "t20_high_s", "t30_s", "t30_low_s", "t30_high_s",
                                "positions", "spread_percent"})
            CHECK(band.contains(key));
        CHECK(band["t20_s"].is_null() == band["empty"].contains("t20_s"));
        CHECK(band["spread_percent"].is_null() == band["empty"].contains("spread_percent"));
        if (!band["t20_s"].is_null()) {
            CHECK(band["positions"] == 4);
            CHECK(band["t20_low_s"] < band["t20_s"]);
        }
    }
    CHECK(json["listening"]["positions"] == Json::array({"S1-M1", "S2-M1"}));
    for (const Json& band : json["room"]["absorption_m2"])
        CHECK(band["absorption_m2"].is_null() == band["empty"].contains("absorption_m2"));
}

TEST_CASE("the text goes by question, then room, targets and grade, in 100 columns") {
    const std::string text = to_text(report());
    for (const std::string& line : lines_of(text))
        CHECK_MESSAGE(columns(line) <= terminal_columns, line);
    std::size_t at = 0;
    for (const char* part : {"Mean over the room", "how long", "how straight", "how sure", "how clear",
                             "Listening places", "\nRoom\n", "as if diffuse", "\nTargets\n", "above",
                             "\nGrade of the set-up\n", "Return to S1-M1", "Every position", "S2-M3"}) {
        const std::size_t found = text.find(part, at);
        CHECK_MESSAGE(found != std::string::npos, part);
        at = found == std::string::npos ? at : found;
    }
}

TEST_CASE("what is from memory is labelled so wherever it stands") {
    const VisitReport visit = report();
    std::string text = to_text(visit);
    std::replace(text.begin(), text.end(), '\n', ' ');
    CHECK(text.find(target_source_note()) != std::string::npos);
    CHECK(text.find(setup_source_note()) != std::string::npos);
    const Json json = Json::parse(to_json(visit));
    CHECK(json["targets"][0]["notes"][0] == target_source_note());
    CHECK(json["grade"]["notes"][0] == setup_source_note());
}

TEST_CASE("a simulated visit says so in every form") {
    VisitReport visit = report();
    visit.simulated = true;
    CHECK(to_text(visit).starts_with("SIMULATED"));
    CHECK(Json::parse(to_json(visit))["simulated"] == true);
    const auto lines = lines_of(to_csv(visit));
    for (std::size_t i = 1; i < lines.size(); ++i)
        CHECK(lines[i].find(",true,") != std::string::npos);
}

TEST_CASE("the table of a visit has every position, the return and the means") {
    const auto lines = lines_of(to_csv(report()));
    CHECK(lines.size() == 1 + 28 * (6 + 1 + 2));
    const auto commas = [](const std::string& line) { return std::count(line.begin(), line.end(), ','); };
    for (const std::string& line : lines)
        CHECK(commas(line) == commas(lines[0]));
    CHECK(lines[1].starts_with("listening place,before,S1-M1,S1-M1-01,false,20,"));
    CHECK(lines.back().starts_with("listening average,"));
}

TEST_CASE("a room without volume, target or return reads without gaps") {
    VisitReport visit{false, "after", "", "0.1.0", visit_result({}, {}, {position("S1-M2", 1)}, {})};
    const std::string text = to_text(visit);
    for (const char* part :
         {"Volume not known", "No target is set", "No grade", "No return", "20 °C and 50 %"})
        CHECK_MESSAGE(text.find(part) != std::string::npos, part);
    CHECK(text.find("nan") == std::string::npos);
    const Json json = Json::parse(to_json(visit));
    CHECK(json["room"]["schroeder_hz"].is_null());
    CHECK(json["room"]["empty"]["schroeder_hz"] == "conditions");
    CHECK(json["return"].is_null());
    CHECK(json["targets"].empty());
}

TEST_CASE("hostile names stay harmless in the result of a visit") {
    VisitReport visit = report();
    visit.result.positions[0].takes = {samples::hostile_name};
    visit.visit = samples::hostile_name;
    for (const std::string& bytes : {to_text(visit), to_csv(visit), to_json(visit)}) {
        CHECK(bytes.find('\x1b') == std::string::npos);
        CHECK(bytes.find('\xff') == std::string::npos);
    }
}
