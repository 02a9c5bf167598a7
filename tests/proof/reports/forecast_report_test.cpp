// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/forecast_report.hpp"
#include "verdict/prediction.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a kept prediction is read back: bands of both methods, and modes") {
    ForecastReport report;
    RoomForecast& room = report.room;
    report.places = {"S1-M1", "S2-M1"};
    for (const Band& band : bands_between(BandWidth::third, 100, 125))
        room.bands.push_back({band, Measured::of(0.8), {0.4, 0.35, 0.45, {}}, {}});
    room.bands[0].modal = true;
    room.bands[1].parts = ForecastParts{0.03, 0.05, 0.04};
    ModalForecast& modes = report.modal.emplace();
    modes.modes.resize(2);
    modes.modes[0].before_hz = 42.5;
    modes.modes[0].predicted_t60_s = {0.7, 0.6, 0.8, {}};
    modes.modes[1].before_hz = 60; // without a prediction: not in the table
    const std::string table = prediction_table(report);
    CHECK(table.find("\n100,third,modal,0.8,0.4,0.35,0.45,") != std::string::npos);
    const Prediction read = parse_prediction(table, "kept");
    REQUIRE(read.bands.size() == 2);
    CHECK(read.bands[1].decay_s == Measured{0.4, 0.35, 0.45, {}});
    CHECK(!read.bands[0].parts);
    REQUIRE(read.bands[1].parts);
    CHECK(read.bands[1].parts->before == 0.03);
    CHECK(read.bands[1].parts->wool == 0.05);
    CHECK(read.bands[1].parts->model == 0.04);
    REQUIRE(read.modes.size() == 1);
    CHECK(read.mode_at(42.45)->decay_s == Measured{0.7, 0.6, 0.8, {}});
    CHECK(read.mode_at(43) == nullptr);
    CHECK(read.places == "S1-M1 S2-M1");
    report.visit = "before";
    report.job = "jobs/a";
    CHECK(to_text(report).find("means over S1-M1, S2-M1, where the question") != std::string::npos);
    report.modal.reset();
    CHECK(parse_prediction(prediction_table(report), "bands").modes.empty());
}
