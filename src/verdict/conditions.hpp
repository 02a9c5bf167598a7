// SPDX-License-Identifier: GPL-3.0-or-later
// What else differed between two visits, and what follows from it: corrected, widened or blocked.
#pragma once

#include "base/bands.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// What a visit says of itself. Empty texts and values: not recorded.
struct VisitConditions {
    std::optional<double> celsius; ///< mean of start and end
    std::optional<double> humidity_percent;
    std::optional<double> noise_db; ///< level of the room's noise, any fixed reference
    std::optional<double> level_db; ///< level of the test signal, the same reference
    std::string equipment;          ///< loudspeaker, microphone, interface and their settings
    std::string doors_and_windows;
    std::map<std::string, std::string> patches; ///< of the walls, by name: their states
    std::string furniture;
    std::string persons; ///< who or how many were in the room
    std::string ventilation;
    std::string positions; ///< how the positions were found again
};

/// Speed of sound after over before, by which the air alone moves every mode; nothing where a temperature is
/// not known. Where humidity is not, 50 % (at 20 °C, 30 and 70 % are 0.15 % apart).
std::optional<double> speed_ratio(const VisitConditions& before, const VisitConditions& after);

enum class ConditionEffect { none, corrected, widened, blocked };

/// One line of the result.
struct Condition {
    std::string what, before, after;
    ConditionEffect kind = ConditionEffect::none;
    std::string effect; ///< in words
    std::optional<double> before_c = {},
                          after_c = {}; ///< of temperatures, so that they can be said in other units
};

/// What the conditions do to every band's change ln(after/before).
struct ConditionsResult {
    std::vector<Condition> conditions;
    std::vector<double> correction;      ///< per band, to be added
    std::vector<double> common_variance; ///< per band, shared by all positions
    bool blocked = false;
    double mode_shift =
        0; ///< relative change of the modes' frequencies by the air alone, after against before
};

/// `after_s` holds the bands' decay times after, where known. Temperature: the air's own part of the decay
/// rate (ISO 9613-1) is set to that of the visit before. Where the humidity, or the temperature, of a visit
/// is not recorded, 20 to 80 % and 15 to 27 °C are taken as equally likely and the interval widened.
/// Different doors, windows, other patches, furniture or persons, or more than 10 °C, block: another room was
/// measured.
ConditionsResult weigh_conditions(const VisitConditions& before, const VisitConditions& after,
                                  const std::vector<Band>& bands,
                                  const std::vector<std::optional<double>>& after_s);

} // namespace ebbmark
