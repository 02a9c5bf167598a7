// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/json_fields.hpp"

#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

namespace ebbmark {

namespace {

constexpr int schema = 1;

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
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

} // namespace ebbmark
