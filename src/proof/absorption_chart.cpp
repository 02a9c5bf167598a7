// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/absorption_chart.hpp"

#include "proof/guarded.hpp"
#include "proof/palette.hpp"
#include "proof/series.hpp"
#include "proof/texts.hpp"

#include <fmt/format.h>

#include <array>

namespace ebbmark {

Canvas absorption_chart(const ForecastReport& report, const ChartSize& size) {
    static const std::array<Colour, 3> colours = {palette::after, palette::before, palette::third};
    static const std::array<MarkerShape, 3> shapes = {MarkerShape::diamond, MarkerShape::circle,
                                                      MarkerShape::triangle};
    Canvas canvas(size.width, size.height);
    const double font = size.font;
    std::vector<Band> bands;
    std::vector<Series> all;
    for (std::size_t i = 0; i < report.traps.size(); ++i) {
        const ForecastTrap& trap = report.traps[i];
        Series series;
        series.name = shortened(plain_text(trap.name), 18);
        series.colour = colours[i % 3];
        series.shape = shapes[i % 3];
        series.filled = i < 3;
        series.aside = report.traps.size() > 1 ? 0.2 * (static_cast<double>(i % 3) - 1) : 0;
        for (const TrapBand& band : trap.bands) {
            if (i == 0)
                bands.push_back(band.band);
            series.values.push_back({band.alpha_random, band.alpha_low, band.alpha_high, {}});
            series.bounds.emplace_back();
        }
        all.push_back(series);
    }
    const auto reasons = reasons_of(all, bands.size());
    std::vector<std::string> names{std::string(texts::hertz)};
    for (const Series& series : all)
        names.push_back(series.name);
    const ValueAxis probe(0, highest(all), 5, 0, 1);
    const double left = probe.label_width(font, false) + 1.2 * font;
    const double right = size.width - widest(names, font) - 1.2 * font;
    const BandAxis axis(bands, left, right);
    const Area area{left, 2.4 * font, right, size.height - axis.height_below(font, reasons) - 0.5 * font};
    const ValueAxis values(0, highest(all), static_cast<int>(area.height() / (2.4 * font)), area.top,
                           area.bottom);
    draw_heading(canvas, {0, 1.1 * font}, texts::chart_absorption, font);
    values.draw(canvas, area, font, false);
    for (const Series& series : all)
        draw_series(canvas, axis, values, series, marker_size(axis, font));
    draw_side_labels(canvas, right + 0.6 * font, area.top, area.bottom, font, side_labels(all, values));
    axis.draw_labels(canvas, area.bottom, font);
    if (report.simulated)
        draw_simulated_mark(canvas, right, font);
    return canvas;
}

std::string chart_description(const ForecastReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_absorption), report.traps.size());
}

} // namespace ebbmark
