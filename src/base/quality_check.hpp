// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace ebbmark {

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

/// One quality check of a recording. `name` is one of those in the list of machine-readable names, such as
/// "clipping".
struct QualityCheck {
    std::string name;
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
