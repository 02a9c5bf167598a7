// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/absorption_chart.hpp"

#include "proof/draw/chart_frame.hpp"
#include "proof/draw/palette.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/forecast_texts.hpp"

#include <fmt/format.h>

#include <array>

namespace ebbmark {

Canvas absorption_chart(const ForecastReport& report, const ChartSize& size) {
    static const std::array<Colour, 3> colours = {palette::after, palette::before, palette::third};
    static const std::array<MarkerShape, 3> shapes = {MarkerShape::diamond, MarkerShape::circle,
                                                      MarkerShape::triangle};
    FramedSeries chart;
    chart.heading = std::string(texts::chart_absorption);
    chart.simulated = report.simulated;
    for (std::size_t i = 0; i < report.traps.size(); ++i) {
        const ForecastTrap& trap = report.traps[i];
        Series series;
        series.name = shortened(plain_text(trap.name), 18);
        series.colour = colours[i % 3];
        series.shape = shapes[i % 3];
        series.filled = i < 3;
        series.unit = "";
        series.aside = report.traps.size() > 1 ? 0.2 * (static_cast<double>(i % 3) - 1) : 0;
        for (const TrapBand& band : trap.bands) {
            if (i == 0)
                chart.bands.push_back(band.band);
            series.values.push_back({band.alpha_random, band.alpha_low, band.alpha_high, {}});
            series.bounds.emplace_back();
        }
        chart.series.push_back(series);
    }
    Canvas canvas(size.width, size.height);
    const ChartFrame frame(canvas, chart, size.font);
    frame.draw_back(canvas);
    frame.draw_front(canvas);
    return canvas;
}

std::string chart_description(const ForecastReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_absorption), report.traps.size());
}

} // namespace ebbmark
