// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/chart_frame.hpp"

#include "proof/draw/palette.hpp"
#include "proof/text/common_texts.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

double top_of(const FramedSeries& chart) {
    const double most = highest(chart.series);
    const bool any = std::any_of(chart.series.begin(), chart.series.end(), [](const Series& series) {
        return std::any_of(series.values.begin(), series.values.end(), [](const Measured& v) { return !!v; });
    });
    return any ? std::max(most, chart.high) : chart.high > 0 ? chart.high : most;
}

double left_of(const FramedSeries& chart, double font) {
    return ValueAxis(chart.low, top_of(chart), 5, 0, 1).label_width(font, NumberSigns::minus) + 1.2 * font;
}

double names_width(const FramedSeries& chart, double font) {
    std::vector<std::string> names{std::string(texts::hertz)};
    for (const Series& series : chart.series)
        names.push_back(series.name);
    for (const SideLabel& further : chart.further_names)
        names.push_back(further.text);
    return widest(names, font);
}

} // namespace

ChartFrame::ChartFrame(const Canvas& canvas, const FramedSeries& chart, double font)
    : chart_(chart), font_(font), reasons_(reasons_of(chart.series, chart.bands.size())),
      left_(left_of(chart, font)), right_(canvas.width() - names_width(chart, font) - 1.2 * font),
      bands_(chart.bands, left_, right_), area_{left_, 2.4 * font, right_,
                                                canvas.height() - bands_.height_below(font, reasons_) -
                                                    0.5 * font},
      values_(chart.low, top_of(chart), static_cast<int>(area_.height() / (2.4 * font)), area_.top,
              area_.bottom) {}

void ChartFrame::draw_back(Canvas& canvas) const {
    canvas.text({0, 1.1 * font_}, chart_.heading, {font_, palette::ink, true});
    bands_.draw_absent(canvas, area_, reasons_);
    values_.draw(canvas, area_, font_, NumberSigns::minus);
    if (chart_.simulated)
        draw_simulated_mark(canvas, right_, font_);
}

void ChartFrame::draw_front(Canvas& canvas) const {
    for (const Series& series : chart_.series)
        draw_series(canvas, bands_, values_, series, marker_size(bands_, font_));
    auto names = side_labels(chart_.series, values_);
    if (names.empty())
        draw_nothing(canvas, area_, font_);
    for (SideLabel further : chart_.further_names) {
        further.y = values_.y(further.y);
        names.push_back(further);
    }
    draw_side_labels(canvas, right_ + 0.6 * font_, area_.top, area_.bottom, font_, names);
    const double used = bands_.draw_labels(canvas, area_.bottom, font_);
    bands_.draw_reasons(canvas, area_.bottom + used + 0.3 * font_, font_, reasons_);
}

} // namespace ebbmark
