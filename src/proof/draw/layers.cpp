// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/layers.hpp"

#include "proof/draw/palette.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double below_everything = -1e9;

/// The grid with a rim of nothing at the places of its edges, so that every outline closes there.
Grid rimmed(const Grid& grid) {
    const auto doubled = [](std::vector<double> ends) {
        ends.insert(ends.begin(), ends.front());
        ends.push_back(ends.back());
        return ends;
    };
    Grid made{doubled(grid.x), doubled(grid.y), {}};
    const std::vector<double> rim(made.x.size(), below_everything);
    made.value.push_back(rim);
    for (std::vector<double> row : grid.value) {
        row.insert(row.begin(), below_everything);
        row.push_back(below_everything);
        made.value.push_back(std::move(row));
    }
    made.value.push_back(rim);
    return made;
}

struct Corner {
    std::size_t row, column;
};

/// Walks along the threshold with the higher side on one hand, from one grid edge to the next.
class Tracer {
  public:
    Tracer(const Grid& grid, double threshold)
        : grid_(grid), threshold_(threshold), next_(2 * grid.x.size() * grid.y.size(), nowhere) {
        for (std::size_t row = 0; row + 1 < grid.y.size(); ++row)
            for (std::size_t column = 0; column + 1 < grid.x.size(); ++column)
                cross(row, column);
    }

    std::vector<Outline> closed() {
        std::vector<Outline> made;
        for (std::size_t edge = 0; edge < next_.size(); ++edge) {
            Outline outline;
            for (std::size_t at = edge; next_[at] != nowhere;) {
                outline.points.push_back(crossing(at));
                const std::size_t further = next_[at];
                next_[at] = nowhere;
                at = further;
            }
            if (!outline.points.empty())
                made.push_back(std::move(outline));
        }
        return made;
    }

  private:
    static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

    double value(const Corner& corner) const { return grid_.value[corner.row][corner.column]; }
    std::size_t edge(const Corner& corner, bool down) const {
        return 2 * (corner.row * grid_.x.size() + corner.column) + (down ? 1 : 0);
    }

    /// One cell: each run of high corners is cut off from where it is left to where it is entered.
    void cross(std::size_t row, std::size_t column) {
        const std::array<Corner, 4> corners = {
            {{row, column}, {row, column + 1}, {row + 1, column + 1}, {row + 1, column}}};
        const std::array<std::size_t, 4> edges = {edge(corners[0], false), edge(corners[1], true),
                                                  edge(corners[3], false), edge(corners[0], true)};
        const auto high = [&](std::size_t i) { return value(corners[i % 4]) >= threshold_; };
        for (std::size_t enter = 0; enter < 4; ++enter) {
            if (high(enter) || !high(enter + 1))
                continue;
            std::size_t leave = enter + 1;
            while (high(leave + 1))
                ++leave;
            next_[edges[leave % 4]] = edges[enter];
        }
    }

    Spot crossing(std::size_t edge) const {
        const std::size_t columns = grid_.x.size();
        const Corner a{edge / 2 / columns, edge / 2 % columns};
        const Corner b{a.row + edge % 2, a.column + 1 - edge % 2};
        const double part = (threshold_ - value(a)) / (value(b) - value(a));
        return {std::lerp(grid_.x[a.column], grid_.x[b.column], part),
                std::lerp(grid_.y[a.row], grid_.y[b.row], part)};
    }

    const Grid& grid_;
    double threshold_;
    std::vector<std::size_t> next_; ///< by grid edge: the edge that the outline comes to from there
};

/// Positive where the higher side is inside, with the direction that Tracer walks in.
double signed_area(const std::vector<Spot>& points) {
    double twice = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const Spot &a = points[i], &b = points[(i + 1) % points.size()];
        twice += a.x * b.y - b.x * a.y;
    }
    return twice / 2;
}

Colour from_oklab(double lightness, double a, double b) {
    // Source: published, B. Ottosson 2020, "A perceptual color space for image processing".
    const double l = std::pow(lightness + 0.3963377774 * a + 0.2158037573 * b, 3);
    const double m = std::pow(lightness - 0.1055613458 * a - 0.0638541728 * b, 3);
    const double s = std::pow(lightness - 0.0894841775 * a - 1.2914855480 * b, 3);
    const auto channel = [](double linear) {
        const double c = std::clamp(linear, 0.0, 1.0);
        const double shown = c <= 0.0031308 ? 12.92 * c : 1.055 * std::pow(c, 1 / 2.4) - 0.055;
        return static_cast<std::uint8_t>(std::lround(255 * shown));
    };
    return {channel(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
            channel(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
            channel(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s)};
}

} // namespace

std::vector<Outline> outlines(const Grid& grid, double threshold) {
    const Grid closed = rimmed(grid);
    auto made = Tracer(closed, threshold).closed();
    for (Outline& outline : made)
        outline.above = signed_area(outline.points) > 0;
    return made;
}

void draw_layers(Canvas& canvas, const Grid& grid, const std::vector<double>& thresholds,
                 const std::vector<Colour>& colours) {
    struct Piece {
        double area;
        Path path;
    };
    std::vector<Piece> pieces;
    for (std::size_t i = 0; i < thresholds.size(); ++i)
        for (Outline& outline : outlines(grid, thresholds[i])) {
            const double area = std::abs(signed_area(outline.points));
            const Colour fill = outline.above ? colours[i] : i > 0 ? colours[i - 1] : palette::paper;
            pieces.push_back({area, Path{std::move(outline.points), true, fill, {}, {}}});
        }
    // An outline within another one has the smaller area, so what is painted later lies inside.
    std::stable_sort(pieces.begin(), pieces.end(),
                     [](const Piece& a, const Piece& b) { return a.area > b.area; });
    for (Piece& piece : pieces)
        canvas.add(std::move(piece.path));
}

std::vector<Colour> fade_colours(int count) {
    struct Stop {
        double lightness, a, b;
    };
    // Lightness is linear from end to end; the hue turns from sand to ink blue.
    constexpr std::array<Stop, 3> stops = {
        {{0.94, 0.004, 0.030}, {0.60, -0.030, -0.065}, {0.26, -0.004, -0.075}}};
    std::vector<Colour> made;
    for (int i = 0; i < count; ++i) {
        const double place = count > 1 ? 2.0 * i / (count - 1) : 0;
        const Stop &from = stops[place < 1 ? 0 : 1], &to = stops[place < 1 ? 1 : 2];
        const double part = place < 1 ? place : place - 1;
        made.push_back(from_oklab(std::lerp(from.lightness, to.lightness, part),
                                  std::lerp(from.a, to.a, part), std::lerp(from.b, to.b, part)));
    }
    return made;
}

} // namespace ebbmark
