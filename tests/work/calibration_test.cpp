// SPDX-License-Identifier: GPL-3.0-or-later
// What makes levels absolute.
#include "../files/folder.hpp"
#include "work/calibration.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

DeconvolveReport with_noise() {
    DeconvolveReport report;
    report.bands = {
        {63, Measured::of(40), {}, -80}, {1000, Measured::of(50), {}, -90}, {2000, Measured::of(50), {}, {}}};
    return report;
}

Calibration calibrated() {
    Calibration calibration;
    calibration.curve = MicrophoneCurve{{{100, -2, {}}, {10000, 1, {}}}, "", ""};
    calibration.calibrator = CalibratorReading{};
    calibration.calibrator->level_dbfs = -33.0103; // a sine 30 dB below full scale, by its effective value
    calibration.calibrator_level_db = 94;
    return calibration;
}

} // namespace

// Source: closed form. A tone of 94 dB recorded 30 dB below a full-scale sine: what lies 80 dB below is 44
// dB.
TEST_CASE("a calibrator's tone makes levels absolute, and the microphone's curve is taken off") {
    DeconvolveReport report = with_noise();
    apply(calibrated(), report);
    CHECK(report.levels_absolute);
    CHECK(*report.bands[0].noise_db == doctest::Approx(44 + 2).epsilon(1e-6)); // its lowest point: −2 dB
    // −0.5 dB half way on a logarithmic axis
    CHECK(*report.bands[1].noise_db == doctest::Approx(34 + 0.5).epsilon(1e-6));
    CHECK(!report.bands[2].noise_db);
    CHECK(report.notes == std::vector<Note>{CurveFallsShort{{63}}});
}

TEST_CASE("without a calibrator levels stay relative and say so") {
    DeconvolveReport report = with_noise();
    apply({}, report);
    CHECK(!report.levels_absolute);
    CHECK(*report.bands[0].noise_db == -80);
    CHECK(report.notes == std::vector<Note>{NoCalibrator{}});
}

TEST_CASE("the files are kept with the takes as they are") {
    const TestFolder folder;
    std::ofstream(folder / "curve.txt") << "100 0\n1000 0\n";
    Calibration calibration;
    calibration.sources = {
        {CalibrationKind::microphone_curve, (folder / "curve.txt").string(), "abc", "2026-01-02", {}}};
    const auto kept = kept_with_takes(calibration);
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].bytes == "100 0\n1000 0\n");
    CHECK(kept[0].ending == ".txt");
    CHECK(kept[0].calibration.date == "2026-01-02");
}
