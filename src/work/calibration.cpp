// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/calibration.hpp"

#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace ebbmark {

namespace {

/// Effective value of a full-scale sine, which levels below full scale count from.
constexpr double full_scale_sine_db = 3.0103;

} // namespace

double Calibration::offset_db(double hz) const {
    // A tone of this level was recorded at that one; both count a full-scale sine as 0.
    const double sensitivity_db =
        calibrator ? calibrator_level_db - (calibrator->level_dbfs + full_scale_sine_db) : 0;
    return sensitivity_db - (curve ? curve->response_db(hz) : 0);
}

std::vector<NewCalibration> kept_with_takes(const Calibration& calibration) {
    std::vector<NewCalibration> kept;
    for (const CalibrationSource& source : calibration.sources)
        kept.push_back({{source.kind, "", source.sha256, source.date, source.pascal_per_unit},
                        std::filesystem::path(source.file).extension().string(),
                        read_whole(source.file, data_limit_bytes)});
    return kept;
}

void apply(const Calibration& calibration, DeconvolveReport& report) {
    report.calibration = calibration.sources;
    report.levels_absolute = calibration.calibrator.has_value();
    std::string beyond;
    for (ResponseBand& band : report.bands) {
        if (!band.noise_db)
            continue;
        *band.noise_db += calibration.offset_db(band.nominal_hz);
        if (calibration.curve && !calibration.curve->covers(band.nominal_hz))
            beyond += fmt::format("{}{:g}", beyond.empty() ? "" : ", ", band.nominal_hz);
    }
    if (!beyond.empty())
        report.notes.push_back(fmt::format(
            "The microphone's curve does not reach {} Hz; its last value was taken for the level there.",
            beyond));
    if (!report.levels_absolute && !report.bands.empty())
        report.notes.push_back("Levels of noise are relative to full scale: without a calibrator nothing is "
                               "known of sound pressure. Decay times need none.");
}

} // namespace ebbmark
