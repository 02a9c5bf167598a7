// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/pictures.hpp"

#include "base/error.hpp"
#include "proof/charts/absorption_chart.hpp"
#include "proof/charts/decay_chart.hpp"
#include "proof/charts/mode_shapes_chart.hpp"
#include "proof/charts/ringing_chart.hpp"
#include "proof/charts/waterfall_chart.hpp"
#include "proof/draw/render.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string bytes_of(const Canvas& chart, const std::string& description, std::string_view extension) {
    if (extension == ".svg")
        return to_svg(chart, description);
    if (extension == ".png")
        return to_png(chart);
    if (extension == ".pdf")
        return to_pdf({chart}, {description, "", "", "", {}});
    throw Error(ErrorKind::usage,
                fmt::format("a picture ends in .svg, .png or .pdf, not in \"{}\"", extension));
}

/// The chart with some white around it.
Canvas with_margin(const Canvas& chart) {
    constexpr double margin = 14;
    Canvas picture(chart.width() + 2 * margin, chart.height() + 2 * margin);
    picture.box({0, 0}, picture.width(), picture.height(), {255, 255, 255});
    picture.place(chart, {margin, margin});
    return picture;
}

} // namespace

std::string picture_of(const DecayReport& report, std::string_view extension) {
    return bytes_of(with_margin(decay_chart(report)), chart_description(report), extension);
}

std::string picture_of(const CompareReport& report, std::string_view extension) {
    return bytes_of(with_margin(comparison_chart(report)), chart_description(report), extension);
}

std::string picture_of(const RingingReport& report, std::string_view extension) {
    return bytes_of(with_margin(ringing_chart(report)), chart_description(report), extension);
}

std::string picture_of(const WaterfallReport& report, std::string_view extension) {
    ChartSize size;
    if (report.entries.size() > 1)
        size.width *= 1.35; // two maps beside each other
    return bytes_of(with_margin(waterfall_chart(report, size)), chart_description(report), extension);
}

std::string picture_of(const ForecastReport& report, std::string_view extension) {
    const Canvas absorption = absorption_chart(report);
    if (!report.modal || report.modal->modes.empty())
        return bytes_of(with_margin(absorption), chart_description(report), extension);
    constexpr double gap = 18;
    const Canvas shapes = mode_shapes_chart(*report.modal, absorption.width());
    Canvas both(absorption.width(), absorption.height() + gap + shapes.height());
    both.place(absorption, {0, 0});
    both.place(shapes, {0, absorption.height() + gap});
    return bytes_of(with_margin(both), chart_description(report), extension);
}

} // namespace ebbmark
