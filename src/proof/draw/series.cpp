// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/series.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/chart_texts.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::string hover_text(const Series& series, const Band& band, const Measured& value) {
    std::string text = fmt::format("{} {}: {}{}", series.name, frequency_text(band.nominal_hz),
                                   seconds_text(*value), series.unit);
    if (value.low && value.high)
        text += fmt::format(" ({} to {})", seconds_text(*value.low), seconds_text(*value.high));
    return text;
}

void draw_line(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis, const Series& series) {
    std::vector<Spot> stretch;
    const auto finish = [&] {
        if (stretch.size() > 1)
            canvas.add(Path{stretch, false, {}, Stroke{series.colour, 0.9, series.dashes}, {}});
        stretch.clear();
    };
    for (std::size_t i = 0; i < series.values.size(); ++i) {
        if (series.values[i])
            stretch.push_back({bands.x(i) + series.aside * bands.step(), axis.y(*series.values[i])});
        else
            finish();
    }
    finish();
}

} // namespace

std::vector<std::optional<Empty>> reasons_of(const std::vector<Series>& all, std::size_t bands) {
    std::vector<std::optional<Empty>> reasons(bands);
    for (std::size_t i = 0; i < bands; ++i) {
        const bool shown = std::any_of(all.begin(), all.end(), [i](const Series& series) {
            return series.values[i] || series.bounds[i];
        });
        // A prediction that says nothing of a band has no reason of its own.
        for (const Series& series : all)
            if (!shown && series.values[i].empty)
                reasons[i] = series.values[i].empty;
        if (!shown && !reasons[i])
            reasons[i] = Empty::noise;
    }
    return reasons;
}

double highest(const std::vector<Series>& all) {
    double most = 0;
    for (const Series& series : all)
        for (std::size_t i = 0; i < series.values.size(); ++i) {
            const double value = std::max(series.values[i].value.value_or(0), series.bounds[i].value_or(0));
            // An interval that dwarfs its value is cut at the top rather than flattening everything else.
            most = std::max(most, std::max(value, std::min(series.values[i].high.value_or(0), 2 * value)));
        }
    return most > 0 ? 1.06 * most : 1; // room above the highest mark
}

void draw_interval(Canvas& canvas, double x, const ValueAxis& axis, const Measured& value, double cap,
                   const Stroke& stroke) {
    if (!value.low || !value.high)
        return;
    canvas.line({x, axis.y(*value.low)}, {x, axis.y(*value.high)}, stroke);
    for (const double end : {*value.low, *value.high})
        if (axis.holds(end))
            canvas.line({x - cap, axis.y(end)}, {x + cap, axis.y(end)}, stroke);
}

void draw_series(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis, const Series& series,
                 double size) {
    draw_line(canvas, bands, axis, series);
    for (std::size_t i = 0; i < series.values.size(); ++i) {
        const Measured& value = series.values[i];
        const double x = bands.x(i) + series.aside * bands.step();
        if (value) {
            draw_interval(canvas, x, axis, value, 0.7 * size, {series.colour, 0.7, {}});
            draw_marker(canvas, {x, axis.y(*value)}, series.shape, size, series.colour,
                        series.filled ? MarkerInside::colour : MarkerInside::paper,
                        hover_text(series, bands.bands()[i], value));
        } else if (series.bounds[i]) {
            draw_bound(canvas, {x, axis.y(*series.bounds[i])}, size, series.colour,
                       fmt::format("{} {}: {}{}", series.name, frequency_text(bands.bands()[i].nominal_hz),
                                   fmt::format(fmt::runtime(texts::at_most), seconds_text(*series.bounds[i])),
                                   series.unit));
        }
    }
}

std::vector<SideLabel> side_labels(const std::vector<Series>& all, const ValueAxis& axis) {
    std::vector<SideLabel> labels;
    for (const Series& series : all) {
        std::optional<double> last;
        for (std::size_t i = 0; i < series.values.size(); ++i)
            last = series.values[i] ? series.values[i].value : series.bounds[i] ? series.bounds[i] : last;
        if (last && !series.name.empty())
            labels.push_back({axis.y(*last), series.name, series.colour});
    }
    return labels;
}

double widest(const std::vector<std::string>& texts_beside, double font) {
    double width = 0;
    for (const std::string& text : texts_beside)
        width = std::max(width, text_width(text, {font, {}, true}));
    return width;
}

double marker_size(const BandAxis& bands, double font) {
    return std::min(0.27 * font, 0.22 * bands.step());
}

void draw_heading(Canvas& canvas, Spot at, texts::Text text, double font) {
    canvas.text(at, std::string(text), {font, palette::ink, true});
}

void draw_nothing(Canvas& canvas, const Area& area, double font) {
    const TextStyle style{font, palette::quiet, false, false, Anchor::middle};
    const std::string words(texts::chart_nothing);
    const double middle = (area.left + area.right) / 2, y = (area.top + area.bottom) / 2;
    const double half = text_width(words, style) / 2 + font;
    canvas.box({middle - half, y - 1.1 * font}, 2 * half, 1.6 * font, palette::paper);
    canvas.text({middle, y}, words, style);
}

void draw_simulated_mark(Canvas& canvas, double right, double font) {
    canvas.text({right, 1.1 * font}, std::string(texts::simulated_mark),
                {font, palette::alarm, true, false, Anchor::end});
}

} // namespace ebbmark
