// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/layers.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

double area_of(const Outline& outline) {
    double twice = 0;
    for (std::size_t i = 0; i < outline.points.size(); ++i) {
        const Spot &a = outline.points[i], &b = outline.points[(i + 1) % outline.points.size()];
        twice += a.x * b.y - b.x * a.y;
    }
    return std::abs(twice) / 2;
}

/// −distance from the middle of a square of 2 × 2, on 81 × 81 points.
Grid cone() {
    Grid grid;
    for (int i = 0; i <= 80; ++i) {
        grid.x.push_back(i / 40.0 - 1);
        grid.y.push_back(i / 40.0 - 1);
    }
    for (const double y : grid.y) {
        std::vector<double> row;
        for (const double x : grid.x)
            row.push_back(-std::hypot(x, y));
        grid.value.push_back(row);
    }
    return grid;
}

} // namespace

TEST_CASE("the outline of a cone is a circle, that of a funnel a hole in the whole area") {
    // Source: closed form, circle of radius 0.5; chords between crossings 1/40 apart lose less than 0.2 %.
    Grid grid = cone();
    const auto circle = outlines(grid, -0.5);
    REQUIRE(circle.size() == 1);
    CHECK(circle[0].above);
    CHECK(area_of(circle[0]) == relative(3.14159265 / 4).epsilon(0.002));
    for (auto& row : grid.value)
        for (double& value : row)
            value = -value;
    const auto funnel = outlines(grid, 0.5);
    REQUIRE(funnel.size() == 2);
    const bool first_is_hole = !funnel[0].above;
    CHECK(funnel[0].above != funnel[1].above);
    CHECK(area_of(funnel[first_is_hole ? 0 : 1]) == relative(3.14159265 / 4).epsilon(0.002));
    CHECK(area_of(funnel[first_is_hole ? 1 : 0]) == relative(4.0).epsilon(1e-9));
}

TEST_CASE("nothing above a threshold draws nothing, everything above it the whole area") {
    CHECK(outlines(cone(), 1).empty());
    const auto all = outlines(cone(), -10);
    REQUIRE(all.size() == 1);
    CHECK(area_of(all[0]) == relative(4.0).epsilon(1e-9));
}

TEST_CASE("layers fade in equal steps of grey") {
    // Source: standard, CIE 1976 L* of the sRGB luminance. Even in grey print: each step darker by about as
    // much.
    const auto colours = fade_colours(8);
    std::vector<double> lightness;
    for (const Colour& colour : colours) {
        const auto linear = [](int channel) {
            const double c = channel / 255.0;
            return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
        };
        const double y =
            0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
        lightness.push_back(y > 0.008856 ? 116 * std::cbrt(y) - 16 : 903.3 * y);
    }
    const double mean = (lightness.front() - lightness.back()) / 7;
    CHECK(mean > 9);
    for (std::size_t i = 1; i < lightness.size(); ++i)
        CHECK(std::abs(lightness[i - 1] - lightness[i] - mean) < 0.35 * mean);
}
