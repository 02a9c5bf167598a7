// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/calibration_option.hpp"

#include "base/error.hpp"

namespace ebbmark {

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
    const auto file = [&](const char* option) {
        return arguments.has(option) ? std::optional(arguments.text(option)) : std::nullopt;
    };
    CalibrationFiles files{file("curve"), file("calibrator"), file("stored-loopback")};
    if (arguments.choice("calibrator-level", {"94", "114"}) == "114")
        files.calibrator_level_db = 114;
    if (!files.calibrator && arguments.has("calibrator-level"))
        throw Error(ErrorKind::usage, "--calibrator-level needs --calibrator with the recording of its tone");
    if (files.loopback && arguments.has("loopback"))
        throw Error(ErrorKind::usage, "give --loopback for the recording's own channel or --stored-loopback "
                                      "for an earlier recording, not both");
    return read_calibration(files);
}

} // namespace ebbmark
