// SPDX-License-Identifier: GPL-3.0-or-later
// Values over frequency bands as marks and lines in a chart.
#pragma once

#include "base/measured.hpp"
#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"
#include "proof/text/common_texts.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Values over the bands under one name and in one style.
struct Series {
    std::string name;
    std::vector<Measured> values;
    std::vector<std::optional<double>> bounds; ///< "at most"
    Colour colour;
    MarkerShape shape = MarkerShape::circle;
    bool filled = false;
    std::vector<double> dashes;
    double aside = 0;        ///< sideways shift in band steps, so that bars don't cover each other
    std::string unit = " s"; ///< behind each value that hovering shows, with the blank before it
};

/// Why a band has nothing to show in any series; nothing where it has.
std::vector<std::optional<Empty>> reasons_of(const std::vector<Series>& all, std::size_t bands);

/// Upper end of an axis that holds every value, with room above; 1 where there is none.
double highest(const std::vector<Series>& all);

/// A vertical bar over the interval; an end beyond the axis has no cap.
void draw_interval(Canvas& canvas, double x, const ValueAxis& axis, const Measured& value, double cap,
                   const Stroke& stroke);

/// Line, intervals, marks and bounds.
void draw_series(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis, const Series& series,
                 double size);

/// The names of the series where they end.
std::vector<SideLabel> side_labels(const std::vector<Series>& all, const ValueAxis& axis);

/// Width of the widest of some texts beside a chart.
double widest(const std::vector<std::string>& texts_beside, double font);

/// Half the size of a mark that fits its band.
double marker_size(const BandAxis& bands, double font);

/// Bold words over a panel.
void draw_heading(Canvas& canvas, Spot at, texts::Text text, double font);

/// Said in the middle of a panel that has nothing to show.
void draw_nothing(Canvas& canvas, const Area& area, double font);

/// SIMULATED over the right end of a chart.
void draw_simulated_mark(Canvas& canvas, double right, double font);

} // namespace ebbmark
