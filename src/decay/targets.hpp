// SPDX-License-Identifier: GPL-3.0-or-later
// Reverberation-time masks for listening rooms. All figures are from memory of the two documents; none was
// seen in its source while this was written, and whoever prints them says so.
#pragma once

#include "decay/average.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class Target { itu_bs_1116_3, ebu_tech_3276 };

/// "ITU-R BS.1116-3" or "EBU Tech 3276".
std::string name(Target target);
/// The target of such a name; nothing for any other.
std::optional<Target> target_named(std::string_view text);

/// Nominal decay time: 0.25 s · (V / 100 m³)^(1/3); EBU Tech 3276 keeps it within 0.2 to 0.4 s.
/// volume_m3 > 0, else std::invalid_argument.
double nominal_decay_s(Target target, double volume_m3);

/// Limits around the nominal value: ± 0.05 s from 200 Hz to 4 kHz; the upper one rises linearly in lg f to
/// + 0.3 s at 63 Hz; the lower one falls to − 0.1 s at 8 kHz. Bands outside 63 Hz to 8 kHz have no limits.
struct TargetLimits {
    double low_s = 0;
    double high_s = 0;
};
std::optional<TargetLimits> target_limits(Target target, double volume_m3, double nominal_hz);

enum class TargetFinding { inside, above, below, no_value };
struct BandTarget {
    Band band;
    TargetLimits limits;
    TargetFinding finding = TargetFinding::no_value;
    Measured decay_s; ///< what was judged
};
/// Each band with limits against the mean over positions, its leading_decay.
std::vector<BandTarget> against_target(Target target, double volume_m3,
                                       const std::vector<BandAverage>& bands);

/// "inside", "above", "below" or "no value".
std::string name(TargetFinding finding);

} // namespace ebbmark
