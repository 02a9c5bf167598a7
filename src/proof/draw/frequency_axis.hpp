// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"

#include <vector>

namespace ebbmark {

enum class FrequencyScale { linear, logarithmic };

/// Frequency across an area with marks and numbers under it.
class FrequencyAxis {
  public:
    FrequencyAxis(double from_hz, double to_hz, FrequencyScale scale, const Area& area);

    double x(double hz) const;
    void draw(Canvas& canvas, double font) const;

  private:
    std::vector<double> marks() const;
    double scaled(double hz) const;

    FrequencyScale scale_;
    double low_, high_; ///< scaled
    Area area_;
};

} // namespace ebbmark
