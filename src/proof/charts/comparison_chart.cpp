// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/decay_chart.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/draw/series.hpp"
#include "proof/text/chart_texts.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

using Reasons = std::vector<std::optional<Empty>>;

/// A change below the first is impossible; an interval beyond the second says no more than that it is wide.
constexpr double least_percent_shown = -100, most_percent_shown = 100;

ValueAxis change_axis(const Comparison& comparison, int ticks, double top, double bottom) {
    double low = -10, high = 10;
    for (const BandFinding& band : comparison.bands) {
        const Measured& change = band.change_percent;
        for (const auto& value : {change.value, change.low, change.high})
            if (value) {
                low = std::min(low, *value);
                high = std::max(high, *value);
            }
        if (band.could_show_percent)
            low = std::min(low, -*band.could_show_percent);
    }
    const double room = 0.04 * (high - low);
    return {std::max(low - room, least_percent_shown), std::min(high + room, most_percent_shown), ticks, top,
            bottom};
}

std::vector<Series> states_of(const CompareReport& report, std::size_t name_columns) {
    Series before{shortened(plain_text(report.before), name_columns),
                  {},
                  {},
                  palette::before,
                  MarkerShape::circle,
                  false,
                  {3, 2},
                  0};
    Series after{
        shortened(plain_text(report.after), 16), {}, {}, palette::after, MarkerShape::diamond, true, {}, 0};
    const auto of = [](const std::optional<double>& value, const BandFinding& band) {
        return value ? Measured::of(*value)
                     : Measured::none(band.change_percent.empty.value_or(Empty::noise));
    };
    for (const BandFinding& band : report.comparison.bands) {
        before.values.push_back(of(band.before_s, band));
        before.bounds.push_back({});
        after.values.push_back(of(band.after_s, band));
        after.bounds.push_back(band.after_s ? std::nullopt : band.after_at_most_s);
    }
    return {before, after};
}

/// The region that a shortening could hide in: steps over the bands, one area per stretch of known bands.
void draw_could_show(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis,
                     const Comparison& comparison) {
    std::vector<Spot> steps;
    const auto finish = [&] {
        if (steps.empty())
            return;
        const double first = steps.front().x, last = steps.back().x;
        steps.push_back({last, axis.y(0)});
        steps.push_back({first, axis.y(0)});
        canvas.add(Path{steps, true, palette::shade, {}, {}});
        steps.clear();
    };
    for (std::size_t i = 0; i < comparison.bands.size(); ++i) {
        const auto& size = comparison.bands[i].could_show_percent;
        if (!size) {
            finish();
            continue;
        }
        for (const double side : {-0.5, 0.5})
            steps.push_back({bands.x(i) + side * bands.step(), axis.y(-*size)});
    }
    finish();
}

void draw_change(Canvas& canvas, double x, const ValueAxis& axis, const BandFinding& band, double size) {
    const Measured& change = band.change_percent;
    if (!change)
        return;
    const bool shown = band.finding == Finding::shorter || band.finding == Finding::longer;
    const Colour& colour = band.finding == Finding::longer ? palette::before : palette::after;
    draw_interval(canvas, x, axis, change, 0.7 * size, {colour, shown ? 1.0 : 0.7, {}});
    const MarkerShape shape =
        band.finding == Finding::shown_unchanged ? MarkerShape::bar : MarkerShape::square;
    std::string hover = fmt::format("{}: {} %, {}", frequency_text(band.band.nominal_hz),
                                    with_minus_sign(signed_percent_text(*change)), name(band.finding));
    draw_marker(canvas, {x, axis.y(*change)}, shape, size, colour,
                shown || band.finding == Finding::shown_unchanged ? MarkerInside::colour
                                                                  : MarkerInside::paper,
                hover);
}

/// A remark at the right end of a heading, where there is room for it.
void draw_aside(Canvas& canvas, Spot right_end, double heading_width, texts::Text text, double font) {
    const TextStyle style{font, palette::quiet, false, false, Anchor::end};
    if (text_width(std::string(text), style) < right_end.x - heading_width)
        canvas.text(right_end, std::string(text), style);
}

/// The upper panel: decay times of the two states.
void draw_times(Canvas& canvas, const BandAxis& axis, const Area& area, const std::vector<Series>& states,
                const Reasons& reasons, double font) {
    const ValueAxis seconds(0, highest(states), static_cast<int>(area.height() / (1.9 * font)), area.top,
                            area.bottom);
    draw_heading(canvas, {0, area.top - 0.9 * font}, texts::chart_seconds, font);
    axis.draw_absent(canvas, area, reasons);
    seconds.draw(canvas, area, font, NumberSigns::minus);
    for (const Series& series : states)
        draw_series(canvas, axis, seconds, series, marker_size(axis, font));
    const auto labels = side_labels(states, seconds);
    if (labels.empty())
        draw_nothing(canvas, area, font);
    draw_side_labels(canvas, area.right + 0.5 * font, area.top, area.bottom, font, labels);
}

/// The lower panel: the changes over what could stay hidden.
void draw_changes(Canvas& canvas, const BandAxis& axis, const Area& area, const Comparison& comparison,
                  const Reasons& reasons, double font) {
    const ValueAxis percent =
        change_axis(comparison, static_cast<int>(area.height() / (1.9 * font)), area.top, area.bottom);
    draw_heading(canvas, {0, area.top - 1.1 * font}, texts::chart_change, font);
    draw_aside(canvas, {area.right, area.top - 1.1 * font}, 22 * font, texts::chart_change_key, 0.92 * font);
    axis.draw_absent(canvas, area, reasons);
    draw_could_show(canvas, axis, percent, comparison);
    percent.draw(canvas, area, font, NumberSigns::plus_and_minus);
    for (std::size_t i = 0; i < comparison.bands.size(); ++i)
        draw_change(canvas, axis.x(i), percent, comparison.bands[i], 0.9 * marker_size(axis, font));
}

} // namespace

Canvas comparison_chart(const CompareReport& report, const ChartSize& size) {
    Canvas canvas(size.width, size.height);
    const double font = size.font;
    const Comparison& comparison = report.comparison;
    const auto states = states_of(report, size.width < 45 * font ? 9 : 16);
    std::vector<Band> bands;
    for (const BandFinding& band : comparison.bands)
        bands.push_back(band.band);
    const auto reasons = reasons_of(states, bands.size());

    const ValueAxis probe = change_axis(comparison, 4, 0, 1);
    const double left =
        std::max(probe.label_width(font, NumberSigns::plus_and_minus), 2.2 * font) + 0.8 * font;
    const double right =
        size.width - widest({states[0].name, states[1].name, std::string(texts::hertz)}, font) - 1.0 * font;
    const BandAxis axis(bands, left, right);
    const double heading = 2.0 * font, gap = 1.4 * font;
    const double height = size.height - axis.height_below(font, reasons) - 2 * heading - gap - 0.2 * font;
    const Area upper{left, heading, right, heading + 0.58 * height};
    const Area lower{left, upper.bottom + gap + heading, right, upper.bottom + gap + heading + 0.42 * height};

    draw_times(canvas, axis, upper, states, reasons, font);
    draw_changes(canvas, axis, lower, comparison, reasons, font);
    const double used = axis.draw_labels(canvas, lower.bottom, font);
    axis.draw_reasons(canvas, lower.bottom + used + 0.3 * font, font, reasons);
    if (report.simulated)
        draw_simulated_mark(canvas, right, font);
    return canvas;
}

std::string chart_description(const CompareReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_comparison), report.comparison.bands.size());
}

} // namespace ebbmark
