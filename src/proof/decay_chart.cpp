// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/decay_chart.hpp"

#include "proof/guarded.hpp"
#include "proof/numbers.hpp"
#include "proof/palette.hpp"
#include "proof/render.hpp"
#include "proof/texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace ebbmark {

namespace {

/// Values over the bands under one name and in one style.
struct Series {
    std::string name;
    std::vector<Measured> values;
    std::vector<std::optional<double>> bounds; ///< "at most"
    Colour colour;
    MarkerShape shape = MarkerShape::circle;
    bool filled = false;
    std::vector<double> dashes;
    double aside = 0; ///< sideways shift in band steps, so that bars don't cover each other
};

std::vector<Series> one_response(const DecayEntry& entry) {
    struct Kind {
        const char* name;
        Measured BandDecay::*member;
        Colour colour;
        MarkerShape shape;
        bool filled;
        double aside;
    };
    static const std::array<Kind, 3> kinds = {
        {{"EDT", &BandDecay::edt_s, palette::third, MarkerShape::triangle, false, -0.24},
         {"T20", &BandDecay::t20_s, palette::before, MarkerShape::circle, false, 0},
         {"T30", &BandDecay::t30_s, palette::after, MarkerShape::diamond, true, 0.24}}};
    std::vector<Series> all;
    for (const Kind& kind : kinds) {
        Series series{kind.name, {}, {}, kind.colour, kind.shape, kind.filled, {}, kind.aside};
        for (const BandDecay& band : entry.decay.bands) {
            series.values.push_back(band.*kind.member);
            const bool bounded = kind.member == &BandDecay::t20_s && !band.t20_s;
            series.bounds.push_back(bounded ? band.at_most_s : std::nullopt);
        }
        all.push_back(series);
    }
    return all;
}

/// More lines than this are told apart by nobody; then they share one style and name.
constexpr std::size_t named_responses = 8;

std::string file_label(const DecayEntry& entry, bool with_channel) {
    const std::string name = entry.file.substr(entry.file.find_last_of("/\\") + 1);
    const std::string safe = shortened(plain_text(name), 18);
    return with_channel ? fmt::format("{} [{}]", safe, entry.channel) : safe;
}

std::vector<Series> several_responses(const std::vector<DecayEntry>& entries) {
    static const std::array<Colour, 4> colours = {palette::after, palette::before, palette::third,
                                                  palette::ink};
    static const std::array<MarkerShape, 4> shapes = {MarkerShape::diamond, MarkerShape::circle,
                                                      MarkerShape::triangle, MarkerShape::square};
    const bool channels = std::any_of(entries.begin(), entries.end(),
                                      [](const DecayEntry& entry) { return entry.channel != 1; });
    std::vector<Series> all;
    for (std::size_t i = 0; i < entries.size(); ++i) {
        const bool named = entries.size() <= named_responses;
        const std::size_t style = named ? i % 4 : 0;
        Series series{named ? file_label(entries[i], channels) : "",
                      {},
                      {},
                      colours[style],
                      shapes[style],
                      i < 4,
                      i < 4 ? std::vector<double>{} : std::vector<double>{3, 2},
                      0};
        for (const BandDecay& band : entries[i].decay.bands) {
            series.values.push_back(band.t20_s);
            series.values.back().low = series.values.back().high = {};
            series.bounds.push_back(band.t20_s ? std::nullopt : band.at_most_s);
        }
        all.push_back(series);
    }
    if (!all.empty() && entries.size() > named_responses)
        all.front().name = fmt::format(fmt::runtime(texts::many_responses), entries.size());
    return all;
}

/// Why a band has nothing to show in any series.
std::vector<std::optional<Empty>> reasons_of(const std::vector<Series>& all, std::size_t bands) {
    std::vector<std::optional<Empty>> reasons(bands);
    for (std::size_t i = 0; i < bands; ++i)
        for (const Series& series : all) {
            if (series.values[i] || series.bounds[i]) {
                reasons[i] = {};
                break;
            }
            reasons[i] = series.values[i].empty.value_or(Empty::noise);
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

/// A vertical bar; an end beyond the axis has no cap.
void draw_interval(Canvas& canvas, double x, const ValueAxis& axis, const Measured& value, double cap,
                   const Stroke& stroke) {
    if (!value.low || !value.high)
        return;
    canvas.line({x, axis.y(*value.low)}, {x, axis.y(*value.high)}, stroke);
    for (const double end : {*value.low, *value.high})
        if (axis.holds(end))
            canvas.line({x - cap, axis.y(end)}, {x + cap, axis.y(end)}, stroke);
}

std::string hover_text(const Series& series, const Band& band, const Measured& value) {
    std::string text =
        fmt::format("{} {}: {} s", series.name, frequency_text(band.nominal_hz), seconds_text(*value));
    if (value.low && value.high)
        text += fmt::format(" ({} to {})", seconds_text(*value.low), seconds_text(*value.high));
    return text;
}

void draw_line(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis, const Series& series) {
    std::vector<Point> stretch;
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

void draw_series(Canvas& canvas, const BandAxis& bands, const ValueAxis& axis, const Series& series,
                 double size) {
    draw_line(canvas, bands, axis, series);
    for (std::size_t i = 0; i < series.values.size(); ++i) {
        const Measured& value = series.values[i];
        const double x = bands.x(i) + series.aside * bands.step();
        if (value) {
            draw_interval(canvas, x, axis, value, 0.7 * size, {series.colour, 0.7, {}});
            draw_marker(canvas, {x, axis.y(*value)}, series.shape, size, series.colour, series.filled,
                        hover_text(series, bands.bands()[i], value));
        } else if (series.bounds[i]) {
            draw_bound(
                canvas, {x, axis.y(*series.bounds[i])}, size, series.colour,
                fmt::format("{} {}: {} s", series.name, frequency_text(bands.bands()[i].nominal_hz),
                            fmt::format(fmt::runtime(texts::at_most), seconds_text(*series.bounds[i]))));
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

void draw_heading(Canvas& canvas, Point at, texts::Text text, double font) {
    canvas.text(at, std::string(text), {font, palette::ink, true});
}

/// A remark at the right end of a heading, where there is room for it.
void draw_aside(Canvas& canvas, Point right_end, double heading_width, texts::Text text, double font) {
    const TextStyle style{font, palette::quiet, false, false, Anchor::end};
    if (text_width(std::string(text), style) < right_end.x - heading_width)
        canvas.text(right_end, std::string(text), style);
}

/// Said in the middle of a panel that has nothing to show.
void draw_nothing(Canvas& canvas, const Area& area, double font) {
    const TextStyle style{font, palette::quiet, false, false, Anchor::middle};
    const std::string words(texts::chart_nothing);
    const double middle = (area.left + area.right) / 2, y = (area.top + area.bottom) / 2;
    const double half = text_width(words, style) / 2 + font;
    canvas.box({middle - half, y - 1.1 * font}, 2 * half, 1.6 * font, palette::paper);
    canvas.text({middle, y}, words, style);
}

} // namespace

Canvas decay_chart(const DecayReport& report, const ChartSize& size) {
    Canvas canvas(size.width, size.height);
    const double font = size.font;
    std::vector<Band> bands;
    std::vector<Series> all;
    if (!report.responses.empty()) {
        for (const BandDecay& band : report.responses.front().decay.bands)
            bands.push_back(band.band);
        all = report.responses.size() == 1 ? one_response(report.responses.front())
                                           : several_responses(report.responses);
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
    const ValueAxis seconds(0, highest(all), static_cast<int>(area.height() / (2.4 * font)), area.top,
                            area.bottom);
    draw_heading(canvas, {0, 1.1 * font},
                 report.responses.size() > 1 ? texts::chart_seconds_t20 : texts::chart_seconds, font);
    axis.draw_absent(canvas, area, reasons);
    seconds.draw(canvas, area, font, false);
    for (const Series& series : all)
        draw_series(canvas, axis, seconds, series, marker_size(axis, font));
    if (side_labels(all, seconds).empty())
        draw_nothing(canvas, area, font);
    draw_side_labels(canvas, right + 0.6 * font, area.top, area.bottom, font, side_labels(all, seconds));
    const double used = axis.draw_labels(canvas, area.bottom, font);
    axis.draw_reasons(canvas, area.bottom + used + 0.3 * font, font, reasons);
    if (report.simulated)
        canvas.text({right, 1.1 * font}, std::string(texts::simulated_mark),
                    {font, palette::alarm, true, false, Anchor::end});
    return canvas;
}

namespace {

/// The change of one band, with its span on the axis.
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
    std::vector<Point> steps;
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
                shown || band.finding == Finding::shown_unchanged, hover);
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
    const double left = std::max(probe.label_width(font, true), 2.2 * font) + 0.8 * font;
    const double right =
        size.width - widest({states[0].name, states[1].name, std::string(texts::hertz)}, font) - 1.0 * font;
    const BandAxis axis(bands, left, right);
    const double heading = 2.0 * font, gap = 1.4 * font;
    const double height = size.height - axis.height_below(font, reasons) - 2 * heading - gap - 0.2 * font;
    const Area upper{left, heading, right, heading + 0.58 * height};
    const Area lower{left, upper.bottom + gap + heading, right, upper.bottom + gap + heading + 0.42 * height};

    const ValueAxis seconds(0, highest(states), static_cast<int>(upper.height() / (1.9 * font)), upper.top,
                            upper.bottom);
    draw_heading(canvas, {0, 1.1 * font}, texts::chart_seconds, font);
    axis.draw_absent(canvas, upper, reasons);
    seconds.draw(canvas, upper, font, false);
    for (const Series& series : states)
        draw_series(canvas, axis, seconds, series, marker_size(axis, font));
    const auto labels = side_labels(states, seconds);
    if (labels.empty())
        draw_nothing(canvas, upper, font);
    draw_side_labels(canvas, right + 0.5 * font, upper.top, upper.bottom, font, labels);

    const ValueAxis percent =
        change_axis(comparison, static_cast<int>(lower.height() / (1.9 * font)), lower.top, lower.bottom);
    draw_heading(canvas, {0, upper.bottom + gap + 0.9 * font}, texts::chart_change, font);
    draw_aside(canvas, {right, upper.bottom + gap + 0.9 * font}, 22 * font, texts::chart_change_key,
               0.92 * font);
    axis.draw_absent(canvas, lower, reasons);
    draw_could_show(canvas, axis, percent, comparison);
    percent.draw(canvas, lower, font, true);
    for (std::size_t i = 0; i < bands.size(); ++i)
        draw_change(canvas, axis.x(i), percent, comparison.bands[i], 0.9 * marker_size(axis, font));
    const double used = axis.draw_labels(canvas, lower.bottom, font);
    axis.draw_reasons(canvas, lower.bottom + used + 0.3 * font, font, reasons);
    if (report.simulated)
        canvas.text({right, 1.1 * font}, std::string(texts::simulated_mark),
                    {font, palette::alarm, true, false, Anchor::end});
    return canvas;
}

std::string chart_description(const DecayReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_decay), report.responses.size());
}

std::string chart_description(const CompareReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_comparison), report.comparison.bands.size());
}

} // namespace ebbmark
