// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace ebbmark {

/// The checks of a recording, and of a sound calibrator's tone from `frequency` on.
enum class CheckName {
    sweep_found,
    clipping,
    lost_samples,
    disturbance,
    hum,
    variation, ///< between repeats
    distortion,
    direct_sound,
    polarity,
    delay,
    drift,
    position, ///< mixed up
    decay_range,
    frequency,
    level,
    stability,
    purity
};

/// As in machine-readable output and in kept takes, in the order of CheckName.
inline constexpr std::array<std::string_view, 17> check_codes = {
    "sweep found", "clipping",     "lost samples", "disturbance", "hum",   "variation",
    "distortion",  "direct sound", "polarity",     "delay",       "drift", "position",
    "decay range", "frequency",    "level",        "stability",   "purity"};
static_assert(check_codes.size() == static_cast<std::size_t>(CheckName::purity) + 1);

constexpr std::string_view code(CheckName name) {
    return check_codes[static_cast<std::size_t>(name)];
}

/// Nothing where no check is called so.
constexpr std::optional<CheckName> check_with_code(std::string_view word) {
    const auto found = std::find(check_codes.begin(), check_codes.end(), word);
    return found == check_codes.end() ? std::nullopt
                                      : std::optional(static_cast<CheckName>(found - check_codes.begin()));
}

/// What a check of a recording does to the result.
enum class CheckOutcome {
    held,
    noted,   ///< the result stands
    widened, ///< figures are left out for it, so that intervals over the positions are wider
    rejected ///< nothing of the recording is used
};

/// As in machine-readable output.
constexpr std::string_view code(CheckOutcome outcome) {
    switch (outcome) {
    case CheckOutcome::held:
        return "held";
    case CheckOutcome::noted:
        return "noted";
    case CheckOutcome::widened:
        return "widened";
    case CheckOutcome::rejected:
        break;
    }
    return "rejected";
}

constexpr std::string_view no_effect = "nothing in the result depends on it";

/// One quality check of a recording.
struct QualityCheck {
    CheckName name{};
    double figure = 0;
    double limit = 0;
    std::string unit;
    CheckOutcome outcome = CheckOutcome::held;
    std::string advice = {};  ///< what to do where it did not hold
    std::string effect = {};  ///< on the result: which bands, and by how much; empty where it held
    std::string finding = {}; ///< in a few words; empty: its name, figure and limit say it

    bool held() const { return outcome == CheckOutcome::held; }

    friend bool operator==(const QualityCheck&, const QualityCheck&) = default;
};

} // namespace ebbmark
