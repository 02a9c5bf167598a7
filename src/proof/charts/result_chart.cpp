// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/result_chart.hpp"

#include "proof/draw/chart_frame.hpp"
#include "proof/draw/palette.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/proof_texts.hpp"
#include "room/absorption.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

Measured value_or_reason(const std::optional<double>& value, const BandFinding& band) {
    return value ? Measured::of(*value) : Measured::none(band.change_percent.empty.value_or(Empty::noise));
}

/// The value after with the interval of the change, both from the value before.
Measured after_with_interval(const BandFinding& band) {
    Measured after = value_or_reason(band.after_s, band);
    const Measured& change = band.change_percent;
    if (after && band.before_s && change.low && change.high) {
        after.low = *band.before_s * (1 + *change.low / 100);
        after.high = *band.before_s * (1 + *change.high / 100);
    }
    return after;
}

Series named(const std::string& name, const Colour& colour, MarkerShape shape, bool filled) {
    return {name, {}, {}, colour, shape, filled, {}, 0};
}

std::vector<Series> states_of(const CompareReport& report) {
    Series before =
        named(shortened(plain_text(report.before), 16), palette::before, MarkerShape::circle, false);
    Series after = named(shortened(plain_text(report.after), 16), palette::after, MarkerShape::diamond, true);
    before.dashes = {3, 2};
    for (const BandFinding& band : report.comparison.bands) {
        before.values.push_back(value_or_reason(band.before_s, band));
        before.bounds.emplace_back();
        after.values.push_back(after_with_interval(band));
        after.bounds.push_back(band.after_s ? std::nullopt : band.after_at_most_s);
    }
    return {before, after};
}

/// A stretch of bands as an area from low to high, one step per band.
void draw_stretch(Canvas& canvas, const ChartFrame& frame, const std::vector<Measured>& values) {
    std::vector<Spot> upper, lower;
    const auto finish = [&] {
        if (!upper.empty()) {
            std::vector<Spot> corners = upper;
            corners.insert(corners.end(), lower.rbegin(), lower.rend());
            canvas.add(Path{corners, true, palette::promised, {}, {}});
        }
        upper.clear();
        lower.clear();
    };
    const double half = frame.bands().step() / 2;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!values[i]) {
            finish();
            continue;
        }
        for (const double side : {-half, half}) {
            const double x = frame.bands().x(i) + side;
            upper.push_back({x, frame.values().y(values[i].high.value_or(*values[i]))});
            lower.push_back({x, frame.values().y(values[i].low.value_or(*values[i]))});
        }
    }
    finish();
}

/// The upper limit of the target in each band, as far as it has one.
std::vector<std::optional<double>> limits_of(const CompareReport& report) {
    std::vector<std::optional<double>> limits(report.comparison.bands.size());
    for (const VisitTarget& target : report.targets)
        for (const BandTarget& band : target.bands)
            for (std::size_t i = 0; i < limits.size(); ++i)
                if (target.visit == report.after && report.comparison.bands[i].band == band.band)
                    limits[i] = band.limits.high_s;
    return limits;
}

void draw_limits(Canvas& canvas, const ChartFrame& frame, const std::vector<std::optional<double>>& limits) {
    Path line{{}, false, {}, Stroke{palette::ink, 1.1, {1, 2}}, {}};
    for (std::size_t i = 0; i < limits.size(); ++i)
        if (limits[i])
            line.points.push_back({frame.bands().x(i), frame.values().y(*limits[i])});
    if (line.points.size() > 1)
        canvas.add(line);
}

std::vector<Measured> predicted_decays(const Comparison& comparison) {
    std::vector<Measured> values;
    for (const BandFinding& band : comparison.bands)
        values.push_back(band.predicted_s);
    return values;
}

/// The name of an area beside its last value.
void add_name(FramedSeries& chart, const std::vector<Measured>& values, texts::Text name) {
    for (auto value = values.rbegin(); value != values.rend(); ++value)
        if (*value) {
            chart.further_names.push_back({**value, std::string(name), palette::third});
            return;
        }
}

double highest_end(const std::vector<Measured>& values) {
    double most = 0;
    for (const Measured& value : values)
        most = std::max(most, value.high.value_or(value.value.value_or(0)));
    return most;
}

} // namespace

Canvas result_chart(const CompareReport& report, const ChartSize& size) {
    FramedSeries chart;
    for (const BandFinding& band : report.comparison.bands)
        chart.bands.push_back(band.band);
    chart.series = states_of(report);
    chart.heading = std::string(texts::chart_result);
    chart.simulated = report.simulated;
    const auto predicted = predicted_decays(report.comparison);
    const auto limits = limits_of(report);
    chart.high = 1.04 * highest_end(predicted);
    add_name(chart, predicted, texts::chart_predicted);
    for (auto limit = limits.rbegin(); limit != limits.rend(); ++limit)
        if (*limit) {
            chart.further_names.push_back({**limit, std::string(texts::chart_target), palette::ink});
            break;
        }
    Canvas canvas(size.width, size.height);
    const ChartFrame frame(canvas, chart, size.font);
    frame.draw_back(canvas);
    draw_stretch(canvas, frame, predicted);
    draw_limits(canvas, frame, limits);
    frame.draw_front(canvas);
    return canvas;
}

std::optional<Measured> predicted_area_m2(const CompareReport& report, const BandFinding& band) {
    const Measured& predicted = band.predicted_s;
    if (!report.volume_m3 || !band.before_s || !predicted)
        return {};
    return area_of_decays_m2(*report.volume_m3, *band.before_s, predicted);
}

Canvas added_area_chart(const CompareReport& report, double unit_m2, const std::string& unit,
                        const ChartSize& size) {
    const auto in_unit = [&](Measured value) {
        for (auto* part : {&value.value, &value.low, &value.high})
            if (*part)
                **part /= unit_m2;
        return value;
    };
    FramedSeries chart;
    Series added = named(std::string(texts::chart_measured), palette::after, MarkerShape::diamond, true);
    added.unit = "\u00a0" + unit;
    std::vector<Measured> predicted;
    for (const BandFinding& band : report.comparison.bands) {
        chart.bands.push_back(band.band);
        Measured area = in_unit(band.added_area_m2);
        if (!area && !area.empty)
            area.empty = band.change_percent.empty.value_or(Empty::noise);
        added.values.push_back(area);
        added.bounds.emplace_back();
        const auto foretold = predicted_area_m2(report, band);
        predicted.push_back(foretold ? in_unit(*foretold) : Measured{});
        for (const Measured& value : {added.values.back(), predicted.back()})
            chart.low = std::min({chart.low, value.low.value_or(0), value.value.value_or(0)});
    }
    chart.series = {added};
    // An interval that dwarfs its value is cut rather than flattening everything else.
    double least = 0, largest = 0;
    for (const Measured& area : chart.series.front().values) {
        least = std::min(least, area.value.value_or(0));
        largest = std::max(largest, std::abs(area.value.value_or(0)));
    }
    chart.low = std::max(chart.low, least - 0.5 * largest);
    chart.heading = fmt::format(fmt::runtime(texts::chart_added), unit);
    chart.simulated = report.simulated;
    chart.high = 1.04 * highest_end(predicted);
    add_name(chart, predicted, texts::chart_predicted);
    Canvas canvas(size.width, size.height);
    const ChartFrame frame(canvas, chart, size.font);
    frame.draw_back(canvas);
    draw_stretch(canvas, frame, predicted);
    frame.draw_front(canvas);
    return canvas;
}

} // namespace ebbmark
