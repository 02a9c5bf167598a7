// SPDX-License-Identifier: GPL-3.0-or-later
// What an impulse response written by this program says of itself, in the comment text of its WAV file, so
// that the file carries it wherever it is copied.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct ResponseInfo {
    double source_from_hz = 0; ///< what the excitation reached
    double source_to_hz = 0;
    bool simulated = false;                ///< made by a virtual device
    std::vector<double> hum_hz = {};       ///< lines of the mains that may be left in it
    std::optional<double> delay_s = {};    ///< from the recording's start to the sweep's arrival
    std::vector<double> disturbed_hz = {}; ///< middles of third octaves that another sound spoils
    std::optional<double> level_db = {};   ///< of the recorded sweep, below a full-scale sine
    std::optional<double> noise_db = {};   ///< of the recording's quietest 0.2 s

    friend bool operator==(const ResponseInfo&, const ResponseInfo&) = default;
};

/// "ebbmark response; source_from_hz=60; source_to_hz=15000; simulated=false", with hum
/// "; hum_hz=50 150", with spoilt bands "; disturbed_hz=125.893", with the delay "; delay_s=0.512", with what
/// the recording reached "; level_db=-23.5; noise_db=-71.25"
std::string to_comment(const ResponseInfo& info);

/// Nothing where the comment is not one of ours; fields of later versions are passed over. Throws
/// Error(unusable), naming `file`, where it is ours but damaged: guessing could hide that it is simulated.
std::optional<ResponseInfo> response_info(std::string_view comment, std::string_view file);

} // namespace ebbmark
