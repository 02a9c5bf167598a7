// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"

#include <vector>

namespace ebbmark {

/// Frequency across an area, linear or logarithmic, with marks and numbers under it.
class FrequencyAxis {
  public:
    FrequencyAxis(double from_hz, double to_hz, bool linear, const Area& area);

    double x(double hz) const;
    void draw(Canvas& canvas, double font) const;

  private:
    std::vector<double> marks() const;
    double scale(double hz) const;

    bool linear_;
    double low_, high_; ///< scaled
    Area area_;
};

} // namespace ebbmark
