// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/json_fields.hpp"

#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

namespace ebbmark {

namespace {

constexpr int schema = 1;

/// As \uXXXX, beyond FFFF as a pair of surrogates (RFC 8259, 7).
std::string escaped(char32_t point) {
    const auto value = static_cast<unsigned>(point);
    return value < 0x10000 ? fmt::format("\\u{:04x}", value)
                           : fmt::format("\\u{:04x}\\u{:04x}", 0xD800u + ((value - 0x10000u) >> 10),
                                         0xDC00u + ((value - 0x10000u) & 0x3FFu));
}

} // namespace

Json json_object(std::string_view command, Origin origin) {
    return {{"ebbmark", command}, {"schema", schema}, {"simulated", origin == Origin::simulated}};
}

Json json_number(const std::optional<double>& value, int digits) {
    if (!value || !std::isfinite(*value))
        return nullptr;
    const double number = rounded(*value, digits);
    constexpr double exact_integers = 9007199254740992.0; // 2^53
    if (number == std::floor(number) && std::abs(number) < exact_integers)
        return static_cast<std::int64_t>(number);
    return number;
}

void add_measured(Json& object, Json& empty, std::string_view quantity, std::string_view unit,
                  const Measured& measured) {
    const std::string key = fmt::format("{}_{}", quantity, unit);
    object[key] = json_number(measured.value);
    if (measured.empty)
        empty[key] = code(*measured.empty);
}

void add_with_interval(Json& object, Json& empty, std::string_view quantity, std::string_view unit,
                       const Measured& measured) {
    add_measured(object, empty, quantity, unit, measured);
    object[fmt::format("{}_low_{}", quantity, unit)] = json_number(measured.low);
    object[fmt::format("{}_high_{}", quantity, unit)] = json_number(measured.high);
}

std::string json_text(const Json& json) {
    std::string text;
    for (const char32_t point : code_points(json.dump(2, ' ', false, Json::error_handler_t::replace)))
        text += point >= 0x7F && is_steering(point) ? escaped(point) : utf8(point);
    return text + '\n';
}

} // namespace ebbmark
