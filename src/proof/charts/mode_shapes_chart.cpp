// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/mode_shapes_chart.hpp"

#include "proof/draw/palette.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr std::size_t columns = 4, most = 12;
constexpr double gap = 14, heading = 26;

void draw_plan(Canvas& canvas, const ForecastMode& mode, const ModalForecast& forecast, Spot corner,
               double width, double height) {
    const double cell_x = width / plan_view_x, cell_y = height / plan_view_y;
    for (int y = 0; y < plan_view_y; ++y)
        for (int x = 0; x < plan_view_x; ++x) {
            const double p = mode.plan_view[static_cast<std::size_t>(y * plan_view_x + x)];
            Colour colour = p < 0 ? palette::before : palette::after;
            colour.opacity = 0.85 * std::abs(p);
            canvas.box({corner.x + x * cell_x, corner.y + y * cell_y}, cell_x, cell_y, colour);
        }
    const auto outline = [&](const std::vector<std::array<double, 2>>& corners, double line) {
        Path path{{}, true, {}, Stroke{palette::ink, line, {}}, {}};
        for (const auto& [x, y] : corners)
            path.points.push_back({corner.x + width * x / forecast.box.edges_m[0],
                                   corner.y + height * y / forecast.box.edges_m[1]});
        canvas.add(std::move(path));
    };
    const double length = forecast.box.edges_m[0], across = forecast.box.edges_m[1];
    outline({{0, 0}, {length, 0}, {length, across}, {0, across}}, 1);
    for (const auto& trap : forecast.outlines)
        outline(trap, 0.7);
}

} // namespace

Canvas mode_shapes_chart(const ModalForecast& forecast, double width) {
    std::vector<const ForecastMode*> shown;
    for (const ForecastMode& mode : forecast.modes)
        if (!mode.plan_view.empty() && shown.size() < most)
            shown.push_back(&mode);
    const double plan_width = (width - gap * (columns - 1)) / columns;
    const double plan_height = std::min(1.6, forecast.box.edges_m[1] / forecast.box.edges_m[0]) * plan_width;
    const auto rows = static_cast<double>((shown.size() + columns - 1) / columns);
    Canvas canvas(width, rows * (plan_height + heading + gap));
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const ForecastMode& mode = *shown[i];
        const Spot corner{static_cast<double>(i % columns) * (plan_width + gap),
                          static_cast<double>(i / columns) * (plan_height + heading + gap)};
        const std::string after = mode.predicted_t60_s ? seconds_text(*mode.predicted_t60_s) : "?";
        canvas.text({corner.x, corner.y + 9},
                    fmt::format("{:.1f} Hz ({})", mode.before_hz, fmt::join(*mode.order, " ")),
                    {8, palette::ink, true, false, Anchor::start, 0});
        canvas.text({corner.x, corner.y + 20},
                    fmt::format("T60 {} to {} s{}", seconds_text(*mode.before_t60_s), after,
                                (*mode.order)[0] == 0 && (*mode.order)[1] == 0 ? ", vertical" : ""),
                    {8, palette::ink, false, false, Anchor::start, 0});
        draw_plan(canvas, mode, forecast, {corner.x, corner.y + heading}, plan_width, plan_height);
    }
    return canvas;
}

} // namespace ebbmark
