// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/curve_chart.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/series.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/proof_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double lowest_db = -60;

double longest_s(const CurvePanels& panels) {
    double longest = 0.2;
    for (const CurvePair& pair : panels.pairs)
        for (const auto* curve : {&pair.before, &pair.after})
            for (const DecayPoint& point : *curve)
                if (point.level_db >= lowest_db)
                    longest = std::max(longest, point.time_s);
    return longest;
}

struct Panel {
    Area area;
    double last_s;

    double x(double time_s) const { return area.left + area.width() * std::clamp(time_s / last_s, 0.0, 1.0); }
};

void draw_curve(Canvas& canvas, const Panel& panel, const ValueAxis& down,
                const std::vector<DecayPoint>& curve, const Stroke& stroke) {
    Path path{{}, false, {}, stroke, {}};
    double last_x = -1;
    for (const DecayPoint& point : curve) {
        if (point.level_db < lowest_db || point.time_s < 0)
            continue;
        const double x = panel.x(point.time_s);
        if (x - last_x < 0.4) // finer than print shows
            continue;
        path.points.push_back({x, down.y(point.level_db)});
        last_x = x;
    }
    if (path.points.size() > 1)
        canvas.add(path);
}

void draw_time_axis(Canvas& canvas, const Panel& panel, double font) {
    const TextStyle style{font, palette::quiet, false, false, Anchor::middle};
    const double wished = panel.last_s / std::max(2.0, panel.area.width() / (5 * font));
    const double decade = std::pow(10, std::floor(std::log10(wished)));
    const double step = wished <= 1 * decade   ? decade
                        : wished <= 2 * decade ? 2 * decade
                        : wished <= 5 * decade ? 5 * decade
                                               : 10 * decade;
    for (int i = 0; step * i <= panel.last_s * 1.0001; ++i) {
        const double x = panel.x(step * i);
        canvas.line({x, panel.area.bottom}, {x, panel.area.bottom + 0.3 * font}, {palette::rule, 0.6, {}});
        canvas.text({x, panel.area.bottom + 1.3 * font}, fmt::format("{:g}", step * i), style);
    }
}

std::string seconds_or_none(const Measured& value) {
    return value ? seconds_text(*value) + "\u00a0s" : std::string(texts::none);
}

void draw_panel(Canvas& canvas, const CurvePanels& panels, const CurvePair& pair, const Panel& panel,
                double font, bool first) {
    const Area& area = panel.area;
    canvas.text({area.left, area.top - 0.7 * font}, frequency_text(pair.band.nominal_hz),
                {font, palette::ink, true});
    const ValueAxis down(lowest_db, 0, static_cast<int>(area.height() / (2.2 * font)), area.top, area.bottom);
    down.draw(canvas, area, font, NumberSigns::minus);
    draw_curve(canvas, panel, down, pair.before, {palette::before, 1.1, {3, 2}});
    draw_curve(canvas, panel, down, pair.after, {palette::after, 1.3, {}});
    const TextStyle style{font, palette::before, true, false, Anchor::end};
    TextStyle below = style;
    below.colour = palette::after;
    const auto name = [&](const std::string& visit) {
        return first ? shortened(plain_text(visit), 12) + " " : std::string();
    };
    canvas.text({area.right - 2, area.top + 1.2 * font}, name(panels.before) + seconds_or_none(pair.before_s),
                style);
    canvas.text({area.right - 2, area.top + 2.5 * font}, name(panels.after) + seconds_or_none(pair.after_s),
                below);
    draw_time_axis(canvas, panel, font);
}

} // namespace

Canvas curve_chart(const CurvePanels& panels, const ChartSize& size) {
    Canvas canvas(size.width, size.height);
    const double font = size.font;
    const std::size_t count = panels.pairs.size();
    if (count == 0)
        return canvas;
    const std::size_t across = size.width < 450 ? std::min<std::size_t>(2, count) : count;
    const std::size_t lines = (count + across - 1) / across;
    const double gap = 3.2 * font, top = 3.9 * font, below = 2.2 * font;
    const double each = (size.width - gap * static_cast<double>(across)) / static_cast<double>(across);
    const double high = size.height / static_cast<double>(lines) - top - below;
    const double last_s = longest_s(panels);
    draw_heading(canvas, {0, 1.1 * font}, texts::chart_curves, font);
    for (std::size_t i = 0; i < count; ++i) {
        const double left = gap + static_cast<double>(i % across) * (each + gap);
        const double from = top + static_cast<double>(i / across) * (high + top + below);
        draw_panel(canvas, panels, panels.pairs[i], {{left, from, left + each, from + high}, last_s}, font,
                   i == 0);
    }
    if (panels.simulated)
        draw_simulated_mark(canvas, size.width, font);
    return canvas;
}

} // namespace ebbmark
