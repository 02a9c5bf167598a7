// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/decay_chart.hpp"

#include "proof/draw/chart_frame.hpp"
#include "proof/draw/palette.hpp"
#include "proof/text/chart_texts.hpp"
#include "proof/text/guarded.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace ebbmark {

namespace {

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

} // namespace

Canvas decay_chart(const DecayReport& report, const ChartSize& size) {
    FramedSeries chart;
    chart.heading =
        std::string(report.responses.size() > 1 ? texts::chart_seconds_t20 : texts::chart_seconds);
    chart.simulated = report.simulated;
    if (!report.responses.empty()) {
        for (const BandDecay& band : report.responses.front().decay.bands)
            chart.bands.push_back(band.band);
        chart.series = report.responses.size() == 1 ? one_response(report.responses.front())
                                                    : several_responses(report.responses);
    }
    Canvas canvas(size.width, size.height);
    const ChartFrame frame(canvas, chart, size.font);
    frame.draw_back(canvas);
    frame.draw_front(canvas);
    return canvas;
}

std::string chart_description(const DecayReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_decay), report.responses.size());
}

} // namespace ebbmark
