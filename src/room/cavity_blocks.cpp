// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_blocks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <set>

namespace ebbmark {

namespace {

/// A polynomial of order p carries a wave of `radians` per segment up to an error of about (radians/2p)^2p
/// (M. Ainsworth, SIAM J. Numer. Anal. 42 (2004) 553, gives the decay with p); the limit keeps modes of boxes
/// within 0.05 % (cavity_scenarios). Near a trap's edges the field bends whatever the wavelength.
int order_for(double radians, double length_m) {
    constexpr double limit = 0.003;
    int order = length_m > 1 ? 5 : length_m > 0.25 ? 3 : 2;
    while (std::pow(radians / (2 * order), 2 * order) > limit)
        ++order;
    return order;
}

/// Sorted, without those that are one with the line before; the last one is the room's edge.
std::vector<double> apart(std::vector<double> lines, double from_m, double to_m) {
    std::sort(lines.begin(), lines.end());
    std::vector<double> result{from_m};
    for (const double line : lines)
        if (line - result.back() > same_line_m)
            result.push_back(line);
    if (to_m - result.back() < same_line_m)
        result.back() = to_m;
    return result;
}

/// Along one axis, from what parts, patches and screens have everywhere.
std::vector<double> common_lines(const CavityShape& shape, std::size_t axis) {
    std::vector<double> lines{shape.from_m[axis], shape.to_m(axis)};
    const auto add = [&](double place) {
        if (place > shape.from_m[axis] && place < shape.to_m(axis))
            lines.push_back(place);
    };
    const auto own = [&](int refinement) {
        return refinement >= 0 &&
               !shape.refinements.at(static_cast<std::size_t>(refinement)).lines_m[axis].empty();
    };
    for (const CavityPart& part : shape.parts)
        if (!own(part.refinement))
            add(part.from_m[axis]), add(part.to_m[axis]);
    const auto add_rectangle = [&](std::size_t normal, const auto& from, const auto& to) {
        for (std::size_t other = 0, i = 0; other < 3; ++other)
            if (other != normal) {
                if (other == axis)
                    add(from[i]), add(to[i]);
                ++i;
            }
    };
    for (const CavityPatch& patch : shape.patches)
        add_rectangle(axis_of(patch.rectangle.wall), patch.rectangle.from_m, patch.rectangle.to_m);
    for (const CavityScreen& screen : shape.screens)
        if (!own(screen.refinement)) {
            if (screen.axis == axis)
                add(screen.at_m);
            add_rectangle(screen.axis, screen.from_m, screen.to_m);
        }
    return lines;
}

/// What is longer than a wavelength is parted, in the same places in every block: not inside a refinement.
std::vector<double> with_wavelengths(std::vector<double> lines, const CavityShape& shape, std::size_t axis,
                                     double wave_number) {
    constexpr double longest = 6.5; // radians in one segment: one wavelength
    const auto edges = apart(lines, shape.from_m[axis], shape.to_m(axis));
    for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
        const double length = edges[i + 1] - edges[i];
        const int parts = std::max(1, static_cast<int>(std::ceil(wave_number * length / longest)));
        for (int part = 1; part < parts; ++part) {
            double place = edges[i] + length * part / parts;
            for (const CavityRefinement& fine : shape.refinements) {
                const double from = fine.from_m[axis], to = fine.to_m[axis];
                if (!fine.lines_m[axis].empty() && place > from && place < to)
                    place = place - from < to - place && from > edges[i] ? from : to;
            }
            if (place > edges[i] && place < edges[i + 1])
                lines.push_back(place);
        }
    }
    return lines;
}

/// Of line indices: from, to.
using Span = std::array<int, 2>;

struct Refined {
    std::array<Span, 3> spans;
    std::array<std::vector<int>, 3> lines; ///< empty along an axis that has none of its own
};

class Division {
  public:
    Division(const CavityShape& shape, double wave_number, int finer)
        : shape_(shape), wave_number_(wave_number), finer_(finer) {
        for (std::size_t axis = 0; axis < 3; ++axis)
            find_lines(axis);
        for (const CavityRefinement& fine : shape.refinements)
            refined_.push_back(refined(fine));
    }

    BlockGrid divided() {
        std::array<Span, 3> all;
        for (std::size_t axis = 0; axis < 3; ++axis)
            all[axis] = {0, static_cast<int>(grid_.lines_m[axis].size()) - 1};
        std::vector<const Refined*> inside;
        for (const Refined& fine : refined_)
            inside.push_back(&fine);
        divide(all, inside);
        return std::move(grid_);
    }

  private:
    double line_m(std::size_t axis, int line) const {
        return grid_.lines_m[axis][static_cast<std::size_t>(line)];
    }

    void find_lines(std::size_t axis) {
        const double from = shape_.from_m[axis], to = shape_.to_m(axis);
        const auto common = with_wavelengths(common_lines(shape_, axis), shape_, axis, wave_number_);
        std::vector<double> lines = common;
        for (const CavityRefinement& fine : shape_.refinements) {
            for (const double place : {fine.from_m[axis], fine.to_m[axis]})
                lines.push_back(std::clamp(place, from, to));
            for (const double place : fine.lines_m[axis])
                if (place > from && place < to)
                    lines.push_back(place);
        }
        grid_.lines_m[axis] = apart(std::move(lines), from, to);
        for (const double place : common)
            common_[axis].insert(index_of(axis, place));
    }

    int index_of(std::size_t axis, double place_m) const {
        const auto& lines = grid_.lines_m[axis];
        const auto beyond = std::lower_bound(lines.begin(), lines.end(), place_m);
        if (beyond == lines.begin())
            return 0;
        const bool before = beyond == lines.end() || place_m - *(beyond - 1) < *beyond - place_m;
        return static_cast<int>(beyond - lines.begin()) - (before ? 1 : 0);
    }

    Refined refined(const CavityRefinement& fine) const {
        Refined result;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            result.spans[axis] = {index_of(axis, fine.from_m[axis]), index_of(axis, fine.to_m[axis])};
            for (const double place : fine.lines_m[axis])
                result.lines[axis].push_back(index_of(axis, place));
        }
        return result;
    }

    /// Stretches along an axis that refinements fill, those that overlap or touch as one.
    static std::vector<Span> clusters(const Span& block, const std::vector<const Refined*>& inside,
                                      std::size_t axis) {
        std::vector<Span> spans;
        for (const Refined* fine : inside)
            spans.push_back(
                {std::max(block[0], fine->spans[axis][0]), std::min(block[1], fine->spans[axis][1])});
        std::sort(spans.begin(), spans.end());
        std::vector<Span> result;
        for (const Span& span : spans)
            if (!result.empty() && span[0] <= result.back()[1])
                result.back()[1] = std::max(result.back()[1], span[1]);
            else
                result.push_back(span);
        return result;
    }

    void divide(const std::array<Span, 3>& block, const std::vector<const Refined*>& inside) {
        for (std::size_t axis = 0; axis < 3 && !inside.empty(); ++axis) {
            const auto filled = clusters(block[axis], inside, axis);
            if (filled.size() == 1 && filled[0] == block[axis])
                continue;
            auto piece = block;
            int at = block[axis][0];
            for (const Span& span : filled) {
                if (span[0] > at)
                    piece[axis] = {at, span[0]}, divide(piece, {});
                std::vector<const Refined*> here;
                for (const Refined* fine : inside)
                    if (fine->spans[axis][0] < span[1] && fine->spans[axis][1] > span[0])
                        here.push_back(fine);
                piece[axis] = span, divide(piece, here);
                at = span[1];
            }
            if (at < block[axis][1])
                piece[axis] = {at, block[axis][1]}, divide(piece, {});
            return;
        }
        grid_.blocks.push_back(with_lines(block, inside));
    }

    GridBlock with_lines(const std::array<Span, 3>& block, const std::vector<const Refined*>& inside) const {
        GridBlock result;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const auto [from, to] = block[axis];
            std::set<int> lines{from, to};
            std::set<int> fine_ones;
            for (const int line : common_[axis])
                lines.insert(line);
            for (const Refined* fine : inside)
                fine_ones.insert(fine->lines[axis].begin(), fine->lines[axis].end());
            lines.insert(fine_ones.begin(), fine_ones.end());
            GridBlock::Axis& own = result.axes[axis];
            for (const int line : lines)
                if (line >= from && line <= to)
                    own.lines.push_back(line);
            for (std::size_t i = 0; i + 1 < own.lines.size(); ++i)
                own.orders.push_back(order_between(axis, own.lines[i], own.lines[i + 1], !fine_ones.empty()));
        }
        return result;
    }

    /// Whether a part with a fluid ends where this segment does.
    bool filled(std::size_t axis, double from, double to) const {
        return std::any_of(shape_.parts.begin(), shape_.parts.end(), [&](const CavityPart& part) {
            return part.fluid > 0 && part.refinement < 0 &&
                   std::abs(part.from_m[axis] - from) < same_line_m &&
                   std::abs(part.to_m[axis] - to) < same_line_m;
        });
    }

    int order_between(std::size_t axis, int one, int other, bool fine) const {
        const double from = line_m(axis, one), to = line_m(axis, other), length = to - from;
        // Steps along a slant: linear functions serve.
        if (fine && length < 0.15)
            return 1;
        // In wool waves are shorter.
        const bool layer = length > 0.08 && length < 0.4 && filled(axis, from, to);
        return order_for(wave_number_ * length, length) + (layer ? 1 : 0) + finer_;
    }

    const CavityShape& shape_;
    double wave_number_;
    int finer_;
    std::array<std::set<int>, 3> common_;
    std::vector<Refined> refined_;
    BlockGrid grid_;
};

} // namespace

BlockGrid block_grid(const CavityShape& shape, double to_hz, double speed_of_sound, int finer) {
    return Division(shape, 2 * std::numbers::pi * to_hz / speed_of_sound, finer).divided();
}

} // namespace ebbmark
