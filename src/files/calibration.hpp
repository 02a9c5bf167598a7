// SPDX-License-Identifier: GPL-3.0-or-later
// Response curves of measuring microphones from plain text. Decay times do not need them; levels and spectra
// do.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct CurvePoint {
    double hz = 0;
    double db = 0; ///< response: what the microphone shows too much
    std::optional<double> phase_deg;
};

struct MicrophoneCurve {
    std::vector<CurvePoint> points; ///< at least two, frequency rising
    std::string sha256;             ///< of the text
    std::string date; ///< of the calibration where a comment line names one as YYYY-MM-DD, else empty

    /// Straight lines over the logarithm of frequency; the end values beyond both ends.
    double response_db(double hz) const;
    bool covers(double hz) const { return hz >= points.front().hz && hz <= points.back().hz; }
};

/// Lines "frequency dB [phase]", separated by spaces, tabs, semicolons or commas; decimal point or comma, the
/// same in the whole file. Lines that begin with *, #, ; or a quote are comments, as is a first line of
/// words. Line ends of any system, with or without byte order mark. Throws Error(unusable) naming file, line
/// and mend.
MicrophoneCurve microphone_curve(std::string_view text, std::string_view name);
MicrophoneCurve read_microphone_curve(const std::filesystem::path& path);

} // namespace ebbmark
