// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/wall_fit.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr std::size_t knots = 4;
constexpr double first_hz = 25, knots_per_decade = 3;
// Neighbouring knots differ by about a fifth, pairs of walls by a factor of two.
constexpr double smooth = 0.2, equal = 2;

struct Place {
    std::size_t knot;
    double part; // towards the next
};

Place place_of(double hz) {
    const double along =
        std::clamp(std::log10(hz / first_hz) * knots_per_decade, 0.0, static_cast<double>(knots - 1));
    const auto knot = std::min(static_cast<std::size_t>(along), knots - 2);
    return {knot, along - static_cast<double>(knot)};
}

using Row = std::vector<double>; // of the unknowns: by axis, then knot

} // namespace

WallEquation wall_equation(const Box& box, double speed_of_sound, const std::array<int, 3>& order) {
    WallEquation equation;
    for (std::size_t axis = 0; axis < 3; ++axis)
        equation.per_axis[axis] = speed_of_sound * (order[axis] == 0 ? 1 : 2) / box.edges_m[axis];
    return equation;
}

WallFit::WallFit(const std::vector<WallEquation>& equations) {
    std::vector<Row> rows;
    std::vector<double> right;
    double scale = 0; // β if all walls were equal
    for (const WallEquation& equation : equations) {
        const auto& a = equation.per_axis;
        scale += equation.damping_per_s / (a[0] + a[1] + a[2]) / static_cast<double>(equations.size());
        Row row(3 * knots);
        const Place place = place_of(equation.hz);
        const double weight = 1 / (equation.deviation * equation.damping_per_s);
        for (std::size_t axis = 0; axis < 3; ++axis) {
            row[axis * knots + place.knot] = weight * a[axis] * (1 - place.part);
            row[axis * knots + place.knot + 1] = weight * a[axis] * place.part;
        }
        rows.push_back(std::move(row));
        right.push_back(weight * equation.damping_per_s);
    }
    const auto alike = [&](std::size_t one, std::size_t other, double within) {
        Row row(3 * knots);
        row[one] = 1 / (within * scale), row[other] = -row[one];
        rows.push_back(std::move(row));
        right.push_back(0);
    };
    for (std::size_t axis = 0; axis < 3; ++axis)
        for (std::size_t knot = 0; knot < knots; ++knot) {
            if (knot + 1 < knots)
                alike(axis * knots + knot, axis * knots + knot + 1, smooth);
            alike(axis * knots + knot, (axis + 1) % 3 * knots + knot, equal);
        }
    // Coordinate descent on a strictly convex problem with β ≥ 0: one minimum, and it gets there.
    std::vector<double> value(3 * knots, scale);
    for (int sweep = 0; sweep < 2000; ++sweep)
        for (std::size_t i = 0; i < value.size(); ++i) {
            double slope = 0, bend = 0;
            for (std::size_t r = 0; r < rows.size(); ++r) {
                if (rows[r][i] == 0)
                    continue;
                double error = -right[r];
                for (std::size_t k = 0; k < value.size(); ++k)
                    error += rows[r][k] * value[k];
                slope += rows[r][i] * error, bend += rows[r][i] * rows[r][i];
            }
            value[i] = std::max(0.0, value[i] - slope / bend);
        }
    for (std::size_t axis = 0; axis < 3; ++axis)
        values_[axis].assign(value.begin() + static_cast<std::ptrdiff_t>(axis * knots),
                             value.begin() + static_cast<std::ptrdiff_t>((axis + 1) * knots));
}

double WallFit::admittance(std::size_t axis, double hz) const {
    const Place place = place_of(std::max(hz, 1.0));
    return values_[axis][place.knot] * (1 - place.part) + values_[axis][place.knot + 1] * place.part;
}

} // namespace ebbmark
