// SPDX-License-Identifier: GPL-3.0-or-later
// What every chart over frequency bands shares: the band axis, value axes, labels beside lines, columns
// without value.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "proof/draw/canvas.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Size of a chart; every length in it follows the font.
struct ChartSize {
    double width = 560;
    double height = 340;
    double font = 9;
};

/// Part of a canvas that values are drawn in.
struct Area {
    double left = 0, top = 0, right = 0, bottom = 0;

    double width() const { return right - left; }
    double height() const { return bottom - top; }
};

/// Band axis: logarithmic in frequency, hence one equal step per band.
class BandAxis {
  public:
    BandAxis(std::vector<Band> bands, double left, double right);

    const std::vector<Band>& bands() const { return bands_; }
    double step() const { return step_; }
    double x(std::size_t band) const { return left_ + (static_cast<double>(band) + 0.5) * step_; }

    /// Nominal labels under `y`, as many as fit, and the unit. Returns the height used.
    double draw_labels(Canvas& canvas, double y, double font) const;

    /// Names, under `y`, why bands have no value: once for a run of neighbours. Returns the height used.
    double draw_reasons(Canvas& canvas, double y, double font,
                        const std::vector<std::optional<Empty>>& reasons) const;

    /// Height that `draw_labels` and `draw_reasons` take together.
    double height_below(double font, const std::vector<std::optional<Empty>>& reasons) const;

    /// Tints the columns of the bands without value.
    void draw_absent(Canvas& canvas, const Area& area,
                     const std::vector<std::optional<Empty>>& reasons) const;

  private:
    std::vector<Band> bands_;
    double left_, step_;
};

/// Which signs numbers at an axis bear.
enum class NumberSigns { minus, plus_and_minus };

/// Linear axis of values with marks at round numbers.
class ValueAxis {
  public:
    /// Covers `low` to `high`, with about `ticks` marks.
    ValueAxis(double low, double high, int ticks, double top, double bottom);

    double low() const { return low_; }
    double high() const { return high_; }
    bool holds(double value) const { return value >= low_ && value <= high_; }
    /// Position, held inside the axis.
    double y(double value) const;

    /// Horizontal lines over `area` and a number at the left of each.
    void draw(Canvas& canvas, const Area& area, double font, NumberSigns signs) const;

    /// Width of the widest number.
    double label_width(double font, NumberSigns signs) const;

  private:
    std::vector<double> marks() const;

    double low_, high_, step_, top_, bottom_;
};

/// Text beside the end of a line, moved up or down until no two overlap, never out of `top` to `bottom`.
struct SideLabel {
    double y = 0;
    std::string text;
    Colour colour;
};
void draw_side_labels(Canvas& canvas, double x, double top, double bottom, double font,
                      std::vector<SideLabel> labels);

enum class MarkerShape { circle, diamond, square, triangle, bar };

/// What is inside of a marker: its colour or the paper's.
enum class MarkerInside { colour, paper };

/// A point of a series.
void draw_marker(Canvas& canvas, Spot at, MarkerShape shape, double size, const Colour& colour,
                 MarkerInside inside, const std::string& hover);

/// "At most": a short arrow down from the bound.
void draw_bound(Canvas& canvas, Spot at, double size, const Colour& colour, const std::string& hover);

} // namespace ebbmark
