// SPDX-License-Identifier: GPL-3.0-or-later
// The frame that charts of values over bands share: heading, band axis, value axis, names beside the lines.
#pragma once

#include "proof/draw/series.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// What is in a chart before its series are drawn.
struct FramedSeries {
    std::vector<Band> bands;
    std::vector<Series> series;
    std::string heading;
    bool simulated = false;
    double low = 0;
    double high = 0;                           ///< at least; the series may need more
    std::vector<SideLabel> further_names = {}; ///< beside lines that are no series; y is a value here
};

/// The axes of such a chart, which must outlive them.
class ChartFrame {
  public:
    ChartFrame(const Canvas& canvas, const FramedSeries& chart, double font);

    /// Tinted columns, lines and numbers.
    void draw_back(Canvas& canvas) const;
    /// Series, their names, band labels and reasons.
    void draw_front(Canvas& canvas) const;

    const BandAxis& bands() const { return bands_; }
    const ValueAxis& values() const { return values_; }
    const Area& area() const { return area_; }

  private:
    const FramedSeries& chart_;
    double font_;
    std::vector<std::optional<Empty>> reasons_;
    double left_, right_;
    BandAxis bands_;
    Area area_;
    ValueAxis values_;
};

} // namespace ebbmark
