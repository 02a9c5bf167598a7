// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/waterfall_chart.hpp"

#include "proof/draw/frequency_axis.hpp"
#include "proof/draw/layers.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/draw/series.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/ringing_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double layer_db = 6, deepest_db = -48;
constexpr std::size_t named_ridges = 5;

std::vector<double> layer_thresholds(const WaterfallReport& report) {
    double noise = -1e9;
    for (const WaterfallEntry& entry : report.entries)
        noise = std::max(noise, entry.waterfall.noise_db);
    std::vector<double> rising;
    for (double level = deepest_db; level < 0; level += layer_db)
        if (level >= noise + layer_db || level == -layer_db)
            rising.push_back(level);
    return rising;
}

struct Map {
    const WaterfallEntry& entry;
    Area area;
    FrequencyAxis across;
    ValueAxis down; ///< time
};

void draw_map(Canvas& canvas, const Map& map, const std::vector<double>& thresholds) {
    const Waterfall& waterfall = map.entry.waterfall;
    Grid grid;
    for (const double hz : waterfall.hz)
        grid.x.push_back(map.across.x(hz));
    for (const double time : waterfall.time_s)
        grid.y.push_back(map.down.y(time));
    grid.value = waterfall.level_db;
    draw_layers(canvas, grid, thresholds, fade_colours(static_cast<int>(thresholds.size())));
}

/// Where the lowest layer ends at this frequency.
double fade_y(const Map& map, std::size_t frequency, double lowest) {
    const Waterfall& waterfall = map.entry.waterfall;
    std::size_t last = 0;
    for (std::size_t i = 0; i < waterfall.time_s.size(); ++i)
        if (waterfall.level_db[i][frequency] >= lowest)
            last = i;
    return map.down.y(waterfall.time_s[last]);
}

/// Points down at a frequency from above the map.
void draw_mark(Canvas& canvas, const Spot& at, double font) {
    const double half = 0.3 * font;
    canvas.add(Path{
        {{at.x - half, at.y - 0.65 * font}, {at.x + half, at.y - 0.65 * font}, {at.x, at.y - 0.1 * font}},
        true,
        palette::ink,
        {},
        {}});
}

/// Where the box of the smallest thing that the map can show stands: at a frequency where it is to be seen.
Area resolution_box(const Map& map, double font) {
    const Waterfall& waterfall = map.entry.waterfall;
    const double bottom = map.area.bottom - 0.7 * font, left = map.area.left + 0.7 * font;
    std::size_t at = 0;
    while (at + 1 < waterfall.hz.size() && map.across.x(waterfall.hz[at]) < left)
        ++at;
    return {left, bottom - (map.down.y(waterfall.resolution_s) - map.down.y(0)),
            map.across.x(waterfall.hz[at] + waterfall.resolution_hz), bottom};
}

void draw_resolution(Canvas& canvas, const Map& map, double font) {
    const Area box = resolution_box(map, font);
    canvas.add(
        Path{{{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}},
             true,
             Colour{255, 255, 255, 0.6},
             Stroke{palette::ink, 0.9, {}},
             {}});
    canvas.text({map.area.right, map.area.top - 1.0 * font},
                fmt::format(fmt::runtime(texts::waterfall_resolution),
                            fmt::format("{:.2g}", map.entry.waterfall.resolution_hz),
                            fmt::format("{:.2g}", map.entry.waterfall.resolution_s)),
                {0.9 * font, palette::quiet, false, false, Anchor::end});
}

void draw_ridge_names(Canvas& canvas, const Map& map, double lowest, double font) {
    const Waterfall& waterfall = map.entry.waterfall;
    const TextStyle bold{0.95 * font, palette::ink, true, false, Anchor::middle};
    const double height = 1.2 * font;
    const Area box = resolution_box(map, font);
    std::vector<Area> taken;
    for (const std::size_t k : ridges(waterfall, named_ridges)) {
        if (!waterfall.decay_s[k])
            continue;
        // A ridge that bends and lasts longer than its first 25 dB say is not named: its one figure would
        // mislead.
        const double fall_s = *waterfall.decay_s[k] * (waterfall.level_db[0][k] - lowest) / 60;
        if (map.down.y(fall_s) < map.area.bottom && map.down.y(1.5 * fall_s) < fade_y(map, k, lowest))
            continue;
        const std::string text =
            fmt::format(fmt::runtime(texts::waterfall_ridge), fmt::format("{:.3g}", waterfall.hz[k]),
                        seconds_text(*waterfall.decay_s[k]));
        const double half = text_width(text, bold) / 2 + 0.3 * font;
        double top = std::min(fade_y(map, k, lowest) + 0.3 * font, map.area.bottom - height - 1);
        const double left = top + height > box.top ? box.right : map.area.left;
        const double x = std::clamp(map.across.x(waterfall.hz[k]), left + half, map.area.right - half);
        const auto meets = [&](const Area& other) {
            return x + half > other.left && x - half < other.right && top + height > other.top &&
                   top < other.bottom;
        };
        bool free = false;
        for (int tries = 0; tries < 3 && !free; ++tries) {
            const auto hit = std::find_if(taken.begin(), taken.end(), meets);
            free = hit == taken.end();
            if (!free)
                top = hit->top - height - 1;
        }
        if (!free || top < map.area.top)
            continue;
        draw_mark(canvas, {map.across.x(waterfall.hz[k]), map.area.top}, font);
        taken.push_back({x - half, top, x + half, top + height});
        canvas.box({x - half, top}, 2 * half, height, {255, 255, 255, 0.78});
        canvas.text({x, top + 0.9 * font}, text, bold);
    }
}

void draw_scale(Canvas& canvas, const Area& area, const std::vector<double>& thresholds, double font) {
    const auto colours = fade_colours(static_cast<int>(thresholds.size()));
    const double step = std::min(1.8 * font, area.height() / static_cast<double>(thresholds.size() + 1));
    const TextStyle style{font, palette::quiet, false, false, Anchor::start};
    canvas.text({area.left, area.top + 0.35 * font}, std::string(texts::waterfall_scale_top), style);
    for (std::size_t i = 0; i < thresholds.size(); ++i) {
        const std::size_t layer = thresholds.size() - 1 - i;
        const double y = area.top + 0.8 * font + static_cast<double>(i) * step;
        canvas.box({area.left, y}, 1.4 * font, step + 0.1, colours[layer]);
        canvas.text({area.left + 1.8 * font, y + step + 0.35 * font},
                    with_minus_sign(fmt::format("{:g}", thresholds[layer])), style);
    }
}

} // namespace

namespace {

constexpr double narrow_width = 450; ///< below it two maps stand one above the other

/// Where each map goes.
std::vector<Area> areas_of(std::size_t count, const ChartSize& size) {
    const double font = size.font, left = 2.6 * font, between = 4.4 * font, scale = 5.2 * font;
    const bool stacked = size.width < narrow_width;
    const std::size_t across = stacked ? 1 : count, down = stacked ? count : 1;
    const double each =
        (size.width - left - scale - static_cast<double>(across - 1) * between) / static_cast<double>(across);
    const double high = size.height / static_cast<double>(down);
    std::vector<Area> areas;
    for (std::size_t i = 0; i < count; ++i) {
        const double from = left + static_cast<double>(i % across) * (each + between);
        const double top = static_cast<double>(i / across) * high;
        areas.push_back({from, top + 3.4 * font, from + each, top + high - 2.2 * font});
    }
    return areas;
}

} // namespace

Canvas waterfall_chart(const WaterfallReport& report, const ChartSize& size) {
    const double font = size.font;
    Canvas canvas(size.width, size.height);
    const auto areas = areas_of(report.entries.size(), size);
    const auto thresholds = layer_thresholds(report);
    double last_s = 0;
    for (const WaterfallEntry& entry : report.entries)
        last_s = std::max(last_s, entry.waterfall.time_s.back());
    for (std::size_t i = 0; i < report.entries.size(); ++i) {
        const Area& area = areas[i];
        const ValueAxis time(0, last_s, 8, area.bottom, area.top);
        const WaterfallEntry& entry = report.entries[i];
        const Map map{entry, area,
                      FrequencyAxis(entry.waterfall.hz.front(), entry.waterfall.hz.back(),
                                    entry.waterfall.axis == WaterfallAxis::linear
                                        ? FrequencyScale::linear
                                        : FrequencyScale::logarithmic,
                                    area),
                      time};
        const Colour colour = report.entries.size() == 1 ? palette::ink
                              : i == 0                   ? palette::before
                                                         : palette::after;
        canvas.text({area.left, area.top - 2.3 * font},
                    shortened(plain_text(entry.name), static_cast<std::size_t>(area.width() / (0.56 * font))),
                    {font, colour, true});
        if (i == 0)
            canvas.text({0, area.top - 1.0 * font}, std::string(texts::waterfall_time),
                        {font, palette::quiet});
        draw_map(canvas, map, thresholds);
        time.draw(canvas, area, font, NumberSigns::minus);
        map.across.draw(canvas, font);
        draw_ridge_names(canvas, map, thresholds.front(), font);
        draw_resolution(canvas, map, font);
    }
    const Area& last = areas[size.width < narrow_width ? 0 : areas.size() - 1];
    draw_scale(canvas, {last.right + 1.2 * font, last.top, size.width, last.bottom}, thresholds, font);
    if (report.simulated)
        draw_simulated_mark(canvas, size.width, font);
    return canvas;
}

std::string chart_description(const WaterfallReport& report) {
    const Waterfall& first = report.entries.front().waterfall;
    std::string text =
        fmt::format(fmt::runtime(texts::chart_describes_waterfall), report.entries.size(),
                    fmt::format("{:.3g}", first.hz.front()), fmt::format("{:.3g}", first.hz.back()));
    return text;
}

} // namespace ebbmark
