// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/units.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

namespace {

// Exact since the international yard and pound agreement of 1959.
constexpr double metres_per_inch = 0.0254, metres_per_foot = 12 * metres_per_inch;
constexpr double kilograms_per_pound = 0.45359237;

/// Inches in `parts`th of one: "9 1/2".
std::string inches_text(long count, long parts) {
    const long whole = count / parts;
    long rest = count % parts, of = parts;
    while (rest > 0 && rest % 2 == 0)
        rest /= 2, of /= 2;
    if (rest == 0)
        return fmt::format("{}\u00a0in", whole);
    return whole > 0 ? fmt::format("{}\u00a0{}/{}\u00a0in", whole, rest, of)
                     : fmt::format("{}/{}\u00a0in", rest, of);
}

} // namespace

std::string length_text(double metres, Units units) {
    if (units == Units::metric)
        return fmt::format("{:.2f}\u00a0m", metres);
    const long halves = std::lround(metres / metres_per_inch * 2);
    const long feet = halves / 24;
    if (feet == 0)
        return inches_text(halves, 2);
    return halves % 24 == 0 ? fmt::format("{}\u00a0ft", feet)
                            : fmt::format("{}\u00a0ft\u00a0{}", feet, inches_text(halves % 24, 2));
}

std::string thickness_text(double metres, Units units) {
    return units == Units::metric ? fmt::format("{:.3g}\u00a0cm", 100 * metres)
                                  : inches_text(std::lround(metres / metres_per_inch * 4), 4);
}

double area_in(double square_metres, Units units) {
    return units == Units::metric ? square_metres : square_metres / (metres_per_foot * metres_per_foot);
}

std::string area_unit(Units units) {
    return units == Units::metric ? "m²" : "ft²";
}

std::string area_text(double square_metres, Units units) {
    return fmt::format("{:.3g}\u00a0{}", area_in(square_metres, units), area_unit(units));
}

std::string volume_text(double cubic_metres, Units units) {
    return units == Units::metric
               ? fmt::format("{:.1f}\u00a0m³", cubic_metres)
               : fmt::format("{:.0f}\u00a0ft³", cubic_metres / std::pow(metres_per_foot, 3));
}

std::string temperature_text(double celsius, Units units) {
    return units == Units::metric ? fmt::format("{:.1f}\u00a0°C", celsius)
                                  : fmt::format("{:.1f}\u00a0°F", 1.8 * celsius + 32);
}

std::string mass_text(double kilograms, Units units) {
    return units == Units::metric ? fmt::format("{:.3g}\u00a0kg", kilograms)
                                  : fmt::format("{:.3g}\u00a0lb", kilograms / kilograms_per_pound);
}

} // namespace ebbmark
