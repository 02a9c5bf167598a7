// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/calibration.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace ebbmark {

namespace {

/// Effective value of a full-scale sine, which levels below full scale count from.
constexpr double full_scale_sine_db = 3.0103;

CalibratorReading read_tone(const std::string& path, double level_db) {
    const AudioFile sound = read_audio(path);
    CalibratorReading reading;
    try {
        reading = read_calibrator(sound.channel(1), level_db);
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", path, error.what()));
    }
    for (const QualityCheck& check : reading.checks)
        if (!check.held())
            throw Error(ErrorKind::unusable,
                        fmt::format("{}: {} of the calibrator's tone is {:.3g} {}, limit {:.3g}; {}", path,
                                    code(check.name), check.figure, check.unit, check.limit, check.advice));
    return reading;
}

std::string date_in(const std::string& path) {
    const auto info = broadcast_info(path);
    return info ? info->date : "";
}

} // namespace

double Calibration::offset_db(double hz) const {
    // A tone of this level was recorded at that one; both count a full-scale sine as 0.
    const double sensitivity_db =
        calibrator ? calibrator_level_db - (calibrator->level_dbfs + full_scale_sine_db) : 0;
    return sensitivity_db - (curve ? curve->response_db(hz) : 0);
}

Calibration read_calibration(const CalibrationFiles& files) {
    Calibration calibration;
    if (files.curve) {
        calibration.curve = read_microphone_curve(*files.curve);
        calibration.sources.push_back({CalibrationKind::microphone_curve,
                                       *files.curve,
                                       calibration.curve->sha256,
                                       calibration.curve->date,
                                       {}});
    }
    if (files.calibrator) {
        const std::string& path = *files.calibrator;
        calibration.calibrator_level_db = files.calibrator_level_db;
        calibration.calibrator = read_tone(path, files.calibrator_level_db);
        calibration.sources.push_back({CalibrationKind::calibrator, path, sha256_of_file(path), date_in(path),
                                       calibration.calibrator->pascal_per_unit});
    }
    if (files.loopback) {
        calibration.loopback = read_audio(*files.loopback).channel(1);
        calibration.sources.push_back({CalibrationKind::loopback,
                                       *files.loopback,
                                       sha256_of_file(*files.loopback),
                                       date_in(*files.loopback),
                                       {}});
    }
    return calibration;
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
    CurveFallsShort beyond;
    for (ResponseBand& band : report.bands) {
        if (!band.noise_db)
            continue;
        *band.noise_db += calibration.offset_db(band.nominal_hz);
        if (calibration.curve && !calibration.curve->covers(band.nominal_hz))
            beyond.bands_hz.push_back(band.nominal_hz);
    }
    if (!beyond.bands_hz.empty())
        report.notes.push_back(beyond);
    if (!report.levels_absolute && !report.bands.empty())
        report.notes.push_back(NoCalibrator{});
}

} // namespace ebbmark
