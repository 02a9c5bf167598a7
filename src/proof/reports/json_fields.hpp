// SPDX-License-Identifier: GPL-3.0-or-later
// Fields that every machine-readable result shares.
#pragma once

#include "base/measured.hpp"

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace ebbmark {

/// Keeps the order of insertion, so that the bytes are stable.
using Json = nlohmann::ordered_json;

/// Whether a result comes from a virtual device.
enum class Origin { real, simulated };
inline Origin origin_of(bool simulated) {
    return simulated ? Origin::simulated : Origin::real;
}

/// The start of every object: command, schema, simulated.
Json json_object(std::string_view command, Origin origin);

/// Rounded to `digits` significant digits; whole numbers without decimals; null where absent or not finite.
Json json_number(const std::optional<double>& value, int digits = 4);

/// Adds `quantity_unit` and the reason to `empty` where there is none.
void add_measured(Json& object, Json& empty, std::string_view quantity, std::string_view unit,
                  const Measured& measured);

/// As `add_measured`, with `quantity_low_unit` and `quantity_high_unit` after it.
void add_with_interval(Json& object, Json& empty, std::string_view quantity, std::string_view unit,
                       const Measured& measured);

/// UTF-8 with a newline at the end; bytes of a name that are no UTF-8 become U+FFFD. What could steer a
/// terminal or reorder a line that shows it stands escaped, as \u202e, and reads back as it was.
std::string json_text(const Json& json);

} // namespace ebbmark
