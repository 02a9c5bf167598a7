// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/quantity.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

namespace ebbmark {

namespace {

struct Unit {
    std::string_view name;
    double scale;
    double offset = 0; ///< SI = value · scale + offset
};

// Exact definitions: international foot and pound (1959), yard 0.9144 m; rayl = Pa s/m.
constexpr double foot_m = 0.3048;
constexpr double pound_kg = 0.45359237;
constexpr double ounce_kg = pound_kg / 16;

std::span<const Unit> units_of(Dimension dimension) {
    static constexpr Unit length[] = {{"m", 1},       {"cm", 0.01},        {"mm", 0.001}, {"in", foot_m / 12},
                                      {"ft", foot_m}, {"\"", foot_m / 12}, {"'", foot_m}};
    static constexpr Unit area[] = {{"m2", 1}, {"cm2", 1e-4}, {"ft2", foot_m * foot_m}, {"m²", 1}};
    static constexpr Unit volume[] = {{"m3", 1}, {"l", 1e-3}, {"ft3", foot_m * foot_m * foot_m}, {"m³", 1}};
    static constexpr Unit frequency[] = {{"Hz", 1}, {"kHz", 1000}};
    static constexpr Unit time[] = {{"s", 1}, {"ms", 1e-3}, {"min", 60}};
    static constexpr Unit temperature[] = {
        {"°C", 1}, {"C", 1}, {"K", 1, -273.15}, {"°F", 5.0 / 9, -160.0 / 9}, {"F", 5.0 / 9, -160.0 / 9}};
    static constexpr Unit percent[] = {{"%", 1}};
    static constexpr Unit density[] = {
        {"kg/m3", 1}, {"lb/ft3", pound_kg / (foot_m * foot_m * foot_m)}, {"kg/m³", 1}};
    static constexpr Unit mass[] = {{"kg", 1}, {"g", 1e-3}, {"lb", pound_kg}, {"oz", ounce_kg}};
    static constexpr Unit surface_density[] = {
        {"kg/m2", 1}, {"g/m2", 1e-3}, {"oz/yd2", ounce_kg / (9 * foot_m * foot_m)}, {"kg/m²", 1}};
    static constexpr Unit flow_resistivity[] = {
        {"Pa.s/m2", 1}, {"kPa.s/m2", 1000}, {"rayl/m", 1}, {"Pa·s/m²", 1}, {"kPa·s/m²", 1000}};
    static constexpr Unit flow_resistance[] = {{"Pa.s/m", 1}, {"rayl", 1}, {"Pa·s/m", 1}};
    static constexpr Unit level[] = {{"dB", 1}};
    switch (dimension) {
    case Dimension::length:
        return length;
    case Dimension::area:
        return area;
    case Dimension::volume:
        return volume;
    case Dimension::frequency:
        return frequency;
    case Dimension::time:
        return time;
    case Dimension::temperature:
        return temperature;
    case Dimension::percent:
        return percent;
    case Dimension::density:
        return density;
    case Dimension::mass:
        return mass;
    case Dimension::surface_density:
        return surface_density;
    case Dimension::flow_resistivity:
        return flow_resistivity;
    case Dimension::flow_resistance:
        return flow_resistance;
    case Dimension::level:
        return level;
    }
    return {};
}

bool is_space(char c) {
    return std::isspace(static_cast<unsigned char>(c)) != 0;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && is_space(text.front()))
        text.remove_prefix(1);
    while (!text.empty() && is_space(text.back()))
        text.remove_suffix(1);
    return text;
}

/// Takes a decimal number from the front of `text`; a comma between digits counts as the point.
std::optional<double> take_number(std::string_view& text) {
    text = trimmed(text);
    std::string digits;
    std::size_t used = 0;
    while (used < text.size()) {
        const char c = text[used];
        const bool sign = (c == '-' || c == '+') && used == 0;
        if (!sign && !std::isdigit(static_cast<unsigned char>(c)) && c != '.' && c != ',')
            break;
        if (c != '+')
            digits += c == ',' ? '.' : c;
        ++used;
    }
    double value = 0;
    const auto [end, failure] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (failure != std::errc{} || end != digits.data() + digits.size())
        return {};
    text.remove_prefix(used);
    return value;
}

/// Takes "5", "5.25", "5/8" or "5 5/8".
std::optional<double> take_mixed_number(std::string_view& text) {
    const auto fraction_of = [](double whole_or_top, std::string_view& rest) -> std::optional<double> {
        rest.remove_prefix(1);
        const auto bottom = take_number(rest);
        if (!bottom || *bottom == 0)
            return {};
        return whole_or_top / *bottom;
    };
    const auto first = take_number(text);
    if (!first)
        return {};
    if (!text.empty() && text.front() == '/')
        return fraction_of(*first, text);
    std::string_view ahead = text;
    const auto top = take_number(ahead);
    if (!top || ahead.empty() || ahead.front() != '/' || !is_space(text.front()))
        return first;
    const auto fraction = fraction_of(*top, ahead);
    if (!fraction)
        return {};
    text = ahead;
    return *first + std::copysign(*fraction, *first);
}

/// Spellings worth naming in a message: not the inch and foot marks nor typographic exponents.
bool is_plain(std::string_view unit) {
    const bool typographic =
        unit.find("²") != unit.npos || unit.find("³") != unit.npos || unit.find("·") != unit.npos;
    return unit != "\"" && unit != "'" && !typographic;
}

std::string unit_names(Dimension dimension) {
    std::string names;
    for (const Unit& unit : units_of(dimension))
        if (is_plain(unit.name))
            names += (names.empty() ? "" : ", ") + std::string(unit.name);
    return names;
}

[[noreturn]] void refuse(std::string_view text, Dimension dimension) {
    const std::string also = dimension == Dimension::length ? ", also \"9 ft 4 in\" or \"5 5/8 in\"" : "";
    throw Error(ErrorKind::unusable,
                fmt::format("\"{}\" is not understood; write a number with one of these units: {}{}", text,
                            unit_names(dimension), also));
}

const Unit* take_unit(std::string_view& text, Dimension dimension) {
    text = trimmed(text);
    const Unit* best = nullptr;
    for (const Unit& unit : units_of(dimension))
        if (text.starts_with(unit.name) && (!best || unit.name.size() > best->name.size()))
            best = &unit;
    if (best)
        text.remove_prefix(best->name.size());
    return best;
}

} // namespace

double parse_quantity(std::string_view text, Dimension dimension) {
    std::string_view rest = trimmed(text);
    const auto number = take_mixed_number(rest);
    if (!number)
        refuse(text, dimension);
    if (trimmed(rest).empty())
        return *number;
    const Unit* unit = take_unit(rest, dimension);
    if (!unit)
        refuse(text, dimension);
    double value = *number * unit->scale + unit->offset;
    rest = trimmed(rest);
    const bool feet = unit->name == "ft" || unit->name == "'";
    if (!rest.empty() && dimension == Dimension::length && feet) {
        const auto inches = take_mixed_number(rest);
        const Unit* inch = inches ? take_unit(rest, dimension) : nullptr;
        if (!inch || (inch->name != "in" && inch->name != "\"") || *inches < 0)
            refuse(text, dimension);
        value += std::copysign(*inches * inch->scale, *number);
    }
    if (!trimmed(rest).empty() || !std::isfinite(value))
        refuse(text, dimension);
    return value;
}

std::array<double, 3> parse_box(std::string_view text) {
    std::vector<std::string> parts(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == 'x' || text[i] == 'X')
            parts.emplace_back();
        else if (text.substr(i, 2) == "×")
            parts.emplace_back(), ++i;
        else
            parts.back() += text[i];
    }
    const auto refuse_box = [&] {
        throw Error(
            ErrorKind::unusable,
            fmt::format(
                "\"{}\" is not a room; write three edge lengths above 0, such as \"4.1 x 3.3 x 2.6 m\"",
                text));
    };
    if (parts.size() != 3)
        refuse_box();
    const auto last_letter = parts[2].find_first_not_of("0123456789.,/ \t+-");
    const std::string shared_unit = last_letter == std::string::npos ? "" : parts[2].substr(last_letter);
    std::array<double, 3> box{};
    for (std::size_t i = 0; i < 3; ++i) {
        const bool bare = parts[i].find_first_not_of("0123456789.,/ \t+-") == std::string::npos;
        box[i] = parse_quantity(bare ? parts[i] + shared_unit : parts[i], Dimension::length);
        if (box[i] <= 0)
            refuse_box();
    }
    return box;
}

} // namespace ebbmark
