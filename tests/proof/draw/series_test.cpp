// SPDX-License-Identifier: GPL-3.0-or-later
// Values, intervals and bounds as they stand on a chart's axes.
#include "proof/draw/chart_frame.hpp"
#include "proof/draw/frequency_axis.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "relative.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;
using samples::has;
using samples::shapes_on;

namespace {

const std::vector<Band> bands = bands_between(BandWidth::octave, 63, 250);

Series series_of(const std::vector<Measured>& values) {
    Series series;
    series.name = "measured";
    series.values = values;
    series.bounds.resize(values.size());
    series.colour = palette::after;
    return series;
}

} // namespace

TEST_CASE(
    "an interval's bar reaches from its low to its high end, and caps stand at ends on the axis alone") {
    const ValueAxis axis(0, 1, 5, 0, 100); // 100 points a unit, from the bottom up
    Canvas canvas(200, 100);
    draw_interval(canvas, 50, axis, {0.5, 0.2, 0.9, {}}, 3, {});
    auto lines = shapes_on<Path>(canvas);
    REQUIRE(lines.size() == 3);
    CHECK(lines[0].points[0].y == relative(80));
    CHECK(lines[0].points[1].y == relative(10));
    CHECK(lines[1].points[0].x == relative(47));
    CHECK(lines[1].points[1].x == relative(53));
    Canvas cut(200, 100);
    draw_interval(cut, 50, axis, {0.5, 0.2, 1.7, {}}, 3, {});
    lines = shapes_on<Path>(cut);
    REQUIRE(lines.size() == 2); // no cap beyond the axis
    CHECK(lines[0].points[1].y == doctest::Approx(0));
    Canvas none(200, 100);
    draw_interval(none, 50, axis, Measured::of(0.5), 3, {});
    CHECK(none.shapes().empty());
}

TEST_CASE("a series breaks its line where a band has no value, and draws a bound as an arrow down") {
    Series series = series_of({Measured::of(0.2), Measured::none(Empty::filter), Measured::of(0.4)});
    series.bounds[1] = 0.1;
    series.filled = true;
    const BandAxis across(bands, 0, 300);
    const ValueAxis axis(0, 1, 5, 0, 100);
    Canvas canvas(300, 100);
    draw_series(canvas, across, axis, series, 4);
    const auto circles = shapes_on<Circle>(canvas);
    REQUIRE(circles.size() == 2);
    CHECK(circles[0].centre.x == relative(50));
    CHECK(circles[0].centre.y == relative(80));
    CHECK(circles[1].centre.x == relative(250));
    CHECK(circles[1].hover == "measured 250\u00a0Hz: 0.40 s");
    double lowest = 0;
    bool bound_told = false;
    for (const Path& path : shapes_on<Path>(canvas)) {
        CHECK(path.points.front().x > 50); // no line leads over the gap
        CHECK(path.points.back().x < 250);
        lowest = std::max(lowest, path.points.back().y);
        bound_told = bound_told || path.hover == "measured 125\u00a0Hz: ≤ 0.10 s";
    }
    CHECK(lowest > 90); // the arrow's tip lies below the bound itself
    CHECK(bound_told);
    Canvas whole(300, 100);
    draw_series(whole, across, axis, series_of({Measured::of(0.2), Measured::of(0.3), Measured::of(0.4)}), 4);
    CHECK(std::any_of(whole.shapes().begin(), whole.shapes().end(), [](const Shape& shape) {
        const auto* path = std::get_if<Path>(&shape);
        return path && path->points.size() == 3;
    }));
}

TEST_CASE("a band is empty only where no series shows anything, with the reason of one that knows it") {
    const Series first = series_of({Measured::of(1), Measured::none(Empty::source), Measured{}}),
                 second = series_of({Measured::none(Empty::noise), Measured{}, Measured{}});
    const auto reasons = reasons_of({first, second}, 3);
    CHECK(!reasons[0]);
    CHECK(reasons[1] == Empty::source);
    CHECK(reasons[2] == Empty::noise);
    Series bounded = second;
    bounded.bounds[1] = 0.2;
    CHECK(!reasons_of({first, bounded}, 3)[1]);
}

TEST_CASE("an axis holds every value and interval, but one that dwarfs its value is cut") {
    CHECK(highest({series_of({{0.5, 0.4, 0.8, {}}})}) == relative(1.06 * 0.8));
    CHECK(highest({series_of({{0.5, 0.4, 9.0, {}}})}) == relative(1.06 * 1.0));
    Series bounded = series_of({Measured{}});
    bounded.bounds[0] = 2;
    CHECK(highest({bounded}) == relative(1.06 * 2));
    CHECK(highest({}) == 1);
}

TEST_CASE("names stand where their series end, in its colour, and never over each other") {
    const ValueAxis axis(0, 1, 5, 0, 100);
    const auto labels = side_labels({series_of({Measured::of(0.2), Measured::of(0.6), Measured{}})}, axis);
    REQUIRE(labels.size() == 1);
    CHECK(labels[0].y == relative(40));
    CHECK(labels[0].text == "measured");
    CHECK(side_labels({series_of({Measured{}})}, axis).empty());
    Canvas canvas(300, 100);
    draw_side_labels(canvas, 200, 0, 100, 10,
                     {{50, "a", palette::ink}, {50, "b", palette::ink}, {99, "c", palette::ink}});
    auto placed = shapes_on<Label>(canvas);
    REQUIRE(placed.size() == 3);
    std::sort(placed.begin(), placed.end(), [](const Label& a, const Label& b) { return a.at.y < b.at.y; });
    for (std::size_t i = 1; i < placed.size(); ++i)
        CHECK(placed[i].at.y - placed[i - 1].at.y >= 11.99);
    CHECK(placed.back().at.y <= 100);
}

TEST_CASE("markers differ in shape, and one that is not filled is white inside") {
    for (const MarkerShape shape :
         {MarkerShape::diamond, MarkerShape::square, MarkerShape::triangle, MarkerShape::bar}) {
        Canvas canvas(20, 20);
        draw_marker(canvas, {10, 10}, shape, 2, palette::after, MarkerInside::paper, "told");
        const auto paths = shapes_on<Path>(canvas);
        REQUIRE(paths.size() == 1);
        CHECK(paths[0].points.size() == (shape == MarkerShape::triangle ? 3 : 4));
        CHECK(paths[0].fill->red == palette::paper.red);
        CHECK(paths[0].hover == "told");
    }
    Canvas canvas(20, 20);
    draw_marker(canvas, {10, 10}, MarkerShape::circle, 2, palette::after, MarkerInside::colour, "");
    CHECK(shapes_on<Circle>(canvas).at(0).fill->blue == palette::after.blue);
    draw_bound(canvas, {10, 10}, 2, palette::after, "at most");
    CHECK(shapes_on<Path>(canvas).back().points.back().y > 10);
    const BandAxis wide(bands, 0, 3000), narrow(bands, 0, 30);
    CHECK(marker_size(wide, 10) == relative(2.7));
    CHECK(marker_size(narrow, 10) == relative(2.2)); // fits its band of 10 points
}

TEST_CASE("a frame marks what is simulated, says where nothing is to be seen, and why") {
    FramedSeries chart;
    chart.bands = bands;
    chart.heading = "Decay time";
    chart.series = {series_of(std::vector(3, Measured::none(Empty::noise)))};
    const auto drawn = [&] {
        Canvas canvas(400, 200);
        const ChartFrame frame(canvas, chart, 9);
        frame.draw_back(canvas);
        frame.draw_front(canvas);
        return samples::words_on(canvas);
    };
    CHECK(has(drawn(), "no decay time could be measured"));
    CHECK(has(drawn(), "noise"));
    CHECK(!has(drawn(), "SIMULATED"));
    chart.simulated = true;
    CHECK(has(drawn(), "SIMULATED"));
    chart.series = {series_of({Measured::of(0.5), Measured::of(0.6), Measured::of(0.7)})};
    CHECK(!has(drawn(), "no decay time"));
    for (const char* words : {"Decay time\n", "63\n", "125\n", "250\n", "measured\n"})
        CHECK_MESSAGE(has(drawn(), words), words);
    chart.high = 3; // at least
    Canvas canvas(400, 200);
    CHECK(ChartFrame(canvas, chart, 9).values().holds(3));
}

TEST_CASE("headings and the mark over a chart stand where they are put") {
    Canvas canvas(300, 100);
    draw_heading(canvas, {3, 12}, "a heading", 9);
    draw_nothing(canvas, {0, 0, 300, 100}, 9);
    draw_simulated_mark(canvas, 290, 9);
    const auto labels = shapes_on<Label>(canvas);
    REQUIRE(labels.size() == 3);
    CHECK(labels[0].style.bold);
    CHECK(labels[1].at.x == relative(150));
    CHECK(labels[2].at.x == relative(290));
    CHECK(labels[2].style.anchor == Anchor::end);
    CHECK(widest({"i", "a wide text"}, 9) == relative(text_width("a wide text", {9, {}, true})));
}

// Source: closed form. The geometric mean lies half way on a logarithmic axis, the arithmetic one on a linear
// one.
TEST_CASE("a frequency axis is even in ratio, or in hertz") {
    const Area area{100, 0, 300, 50};
    const FrequencyAxis ratio(20, 200, FrequencyScale::logarithmic, area),
        even(20, 200, FrequencyScale::linear, area);
    CHECK(ratio.x(std::sqrt(20 * 200.0)) == relative(200));
    CHECK(even.x(110) == relative(200));
    CHECK(ratio.x(20) == relative(100));
    CHECK(even.x(200) == relative(300));
    Canvas canvas(400, 80);
    ratio.draw(canvas, 9);
    const std::string words = samples::words_on(canvas);
    CHECK(has(words, "100\n"));
    CHECK(!has(words, "300\n")); // beyond the axis
    CHECK(has(words, "Hz"));
}

TEST_CASE("a paragraph takes as many lines as it is broken into") {
    const TextStyle style{10, palette::ink};
    const std::string text = "several words that do not fit in one line of this width";
    const auto lines = broken_lines(text, style, 100);
    CHECK(lines.size() > 1);
    CHECK(paragraph_height(100, text, style) ==
          relative(static_cast<double>(lines.size()) * line_height(style)));
    Canvas canvas(200, 200);
    CHECK(canvas.paragraph({5, 20}, 100, text, style) == relative(paragraph_height(100, text, style)));
    CHECK(shapes_on<Label>(canvas).size() == lines.size());
}

TEST_CASE("a canvas becomes SVG, PNG and PDF of its own, the same bytes each time") {
    Canvas canvas(100, 50);
    canvas.text({10, 20}, "5 < 6 & 7", {9, palette::ink});
    const std::string svg = to_svg(canvas, "what it \"shows\"");
    CHECK(has(svg, "5 &lt; 6 &amp; 7"));
    CHECK(has(svg, "what it &quot;shows&quot;"));
    CHECK(to_png(canvas).starts_with("\x89PNG\r\n"));
    // Source: published. PNG (ISO/IEC 15948), 11.2.2: width in bytes 16 to 19.
    CHECK(static_cast<unsigned char>(to_png(canvas, 2)[19]) == 200);
    const PdfFacts facts{"a title", "2026-11-25T10:00:00+01:00", "", "", {}};
    CHECK(to_pdf({canvas, canvas}, facts).starts_with("%PDF-1."));
    CHECK(to_pdf({canvas}, facts) == to_pdf({canvas}, facts));
}
