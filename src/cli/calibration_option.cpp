// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/calibration_option.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/hash.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

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
                                    check.name, check.figure, check.unit, check.limit, check.advice));
    return reading;
}

} // namespace

void declare_calibration(Options& options) {
    add_option(options, "curve", "FILE.txt",
               "the microphone's response: lines of frequency in Hz, dB, and perhaps phase");
    add_option(options, "calibrator", "TONE.wav",
               "a recording of a sound calibrator at the same gain, 1 kHz, 2 s or longer");
    add_option(options, "calibrator-level", "94|114", "what the calibrator gives, dB re 20 uPa (94)");
    add_option(options, "stored-loopback", "LOOP.wav",
               "the same sweep recorded earlier through a cable from output to input: what the sound device "
               "adds is taken out");
}

Calibration read_calibration(const Arguments& arguments) {
    Calibration calibration;
    if (arguments.has("curve")) {
        const std::string path = arguments.text("curve");
        calibration.curve = read_microphone_curve(path);
        calibration.sources.push_back(
            {"microphone curve", path, calibration.curve->sha256, calibration.curve->date, {}});
    }
    if (arguments.has("calibrator")) {
        const std::string path = arguments.text("calibrator");
        calibration.calibrator_level_db =
            arguments.choice("calibrator-level", {"94", "114"}) == "114" ? 114 : 94;
        calibration.calibrator = read_tone(path, calibration.calibrator_level_db);
        const auto info = broadcast_info(path);
        calibration.sources.push_back({"calibrator", path, sha256_of_file(path), info ? info->date : "",
                                       calibration.calibrator->pascal_per_unit});
    } else if (arguments.has("calibrator-level")) {
        throw Error(ErrorKind::usage, "--calibrator-level needs --calibrator with the recording of its tone");
    }
    if (arguments.has("stored-loopback")) {
        if (arguments.has("loopback"))
            throw Error(ErrorKind::usage,
                        "give --loopback for the recording's own channel or --stored-loopback "
                        "for an earlier recording, not both");
        const std::string path = arguments.text("stored-loopback");
        calibration.loopback = read_audio(path).channel(1);
        const auto info = broadcast_info(path);
        calibration.sources.push_back({"loopback", path, sha256_of_file(path), info ? info->date : "", {}});
    }
    return calibration;
}

} // namespace ebbmark
