// SPDX-License-Identifier: GPL-3.0-or-later
// What stands on the charts of results, read from their shapes.
#include "proof/charts/absorption_chart.hpp"
#include "proof/charts/curve_chart.hpp"
#include "proof/charts/decay_chart.hpp"
#include "proof/charts/mode_shapes_chart.hpp"
#include "proof/charts/pictures.hpp"
#include "proof/charts/result_chart.hpp"
#include "proof/charts/ringing_chart.hpp"
#include "proof/charts/room_sketch.hpp"
#include "proof/charts/waterfall_chart.hpp"
#include "proof/draw/palette.hpp"
#include "relative.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"
#include "samples/room_samples.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;
using samples::has;
using samples::shapes_on;
using samples::words_on;

namespace {

bool same(const Colour& a, const Colour& b) {
    return a.red == b.red && a.green == b.green && a.blue == b.blue && a.opacity == b.opacity;
}

/// What hovering shows, a line each.
std::string hovers_on(const Canvas& canvas) {
    std::string text;
    for (const Path& path : shapes_on<Path>(canvas))
        if (!path.hover.empty())
            text += path.hover + '\n';
    for (const Circle& circle : shapes_on<Circle>(canvas))
        if (!circle.hover.empty())
            text += circle.hover + '\n';
    return text;
}

std::size_t areas_of(const Canvas& canvas, const Colour& colour) {
    const auto paths = shapes_on<Path>(canvas);
    return static_cast<std::size_t>(std::count_if(
        paths.begin(), paths.end(), [&](const Path& path) { return path.fill && same(*path.fill, colour); }));
}

} // namespace

TEST_CASE("the result chart shows both states, the interval of the change, the prediction and the limit") {
    CompareReport report = samples::whole_comparison();
    const Canvas canvas = result_chart(report);
    const std::string hovers = hovers_on(canvas), words = words_on(canvas);
    CHECK(has(hovers, "before 63\u00a0Hz: 0.90 s\n"));
    // 0.9 s shorter by 38 to 21 %
    CHECK(has(hovers, "after 63\u00a0Hz: 0.63 s (0.56 to 0.71)\n"));
    CHECK(has(hovers, "after 250\u00a0Hz: ≤ 0.19 s\n"));
    CHECK(areas_of(canvas, palette::promised) == 1); // 40 to 200 Hz without a gap
    for (const char* part : {"predicted\n", "target limit\n", "before\n", "after\n", "source\n"})
        CHECK_MESSAGE(has(words, part), part);
    CHECK(!has(words, "SIMULATED"));
    report.simulated = true;
    CHECK(has(words_on(result_chart(report)), "SIMULATED"));
    report.comparison.bands[4].predicted_s = {};
    CHECK(areas_of(result_chart(report), palette::promised) == 2);
    report.targets.pop_back(); // that of the visit after
    CHECK(!has(words_on(result_chart(report)), "target limit"));
    CHECK(areas_of(result_chart(samples::proof_without_prediction().comparison), palette::promised) == 0);
}

// Source: published. ISO 354:2003, clause 8 (from memory): A = 55.3 V/c · (1/T after − 1/T before), 343 m/s
// at 20 °C.
TEST_CASE("the area that a prediction adds has its larger end from the shorter decay") {
    CompareReport report = samples::whole_comparison();
    const BandFinding& band = report.comparison.bands[1]; // 0.9 s before, 0.6 s (0.5 to 0.7 s) predicted
    const double unit = 55.3 * 35.178 / 343;
    const auto area = predicted_area_m2(report, band);
    REQUIRE(area);
    CHECK(**area == relative(unit * (1 / 0.6 - 1 / 0.9)).epsilon(0.002));
    CHECK(*area->low == relative(unit * (1 / 0.7 - 1 / 0.9)).epsilon(0.002));
    CHECK(*area->high == relative(unit * (1 / 0.5 - 1 / 0.9)).epsilon(0.002));
    CHECK(!predicted_area_m2(report, report.comparison.bands.front()));
    report.volume_m3.reset();
    CHECK(!predicted_area_m2(report, band));
}

TEST_CASE("added area is drawn in the reader's unit, with what was predicted behind it") {
    const CompareReport report = samples::whole_comparison();
    CHECK(has(hovers_on(added_area_chart(report, 1, "m²")),
              "measured 63\u00a0Hz: 4.20\u00a0m² (3.10 to 5.60)"));
    const Canvas feet = added_area_chart(report, 0.3048 * 0.3048, "ft²");
    CHECK(has(hovers_on(feet), "measured 63\u00a0Hz: 45.2\u00a0ft² (33.4 to 60.3)"));
    CHECK(has(words_on(feet), "Absorption area added, ft²"));
    CHECK(areas_of(feet, palette::promised) == 1);
    CHECK(has(hovers_on(feet), "measured 80\u00a0Hz: -16.1")); // less than nothing is drawn as such
}

TEST_CASE("the ringing chart has each mode at its decay, pairs joined, and a bound for a lost one") {
    const Canvas before = ringing_chart(samples::ringing_before());
    CHECK(has(hovers_on(before), "41.80 Hz: 1.60 s\n"));
    CHECK(has(words_on(before), "41.8\u00a0Hz"));
    CHECK(!has(words_on(before), "after"));
    CHECK(areas_of(before, palette::absent) == 2); // overlap, and where the source does not reach
    RingingReport two = samples::ringing_report();
    const Canvas both = ringing_chart(two);
    CHECK(shapes_on<Circle>(both).size() == 3); // before: circles; after: diamonds
    CHECK(has(hovers_on(both), "90.00 Hz: 0.30 s\n"));
    CHECK(has(words_on(both), "after"));
    const auto joins = [](const Canvas& canvas) {
        const auto paths = shapes_on<Path>(canvas);
        return std::count_if(paths.begin(), paths.end(),
                             [](const Path& path) { return path.stroke && path.stroke->width == 1.2; });
    };
    CHECK(joins(both) == 3); // two pairs, one bound
    CHECK(joins(before) == 0);
    two.simulated = true;
    CHECK(has(words_on(ringing_chart(two)), "SIMULATED"));
    CHECK(!has(words_on(both), "SIMULATED"));
    CHECK(has(chart_description(two), "3"));
}

TEST_CASE("the absorption chart names each trap and keeps its interval") {
    ForecastReport report = samples::forecast_report();
    const Canvas canvas = absorption_chart(report);
    CHECK(has(hovers_on(canvas), "rear wall 63\u00a0Hz: 0.45 (0.35 to 0.55)\n"));
    CHECK(has(words_on(canvas), "front, corner"));
    CHECK(!has(words_on(canvas), "SIMULATED"));
    report.simulated = true;
    CHECK(has(words_on(absorption_chart(report)), "SIMULATED"));
    CHECK(has(chart_description(report), "2"));
}

TEST_CASE("decay curves fall as long as they were measured, after faster than before") {
    CurvePanels panels = samples::proof_input().curves; // 1.2 s and 0.6 s for 60 dB, down to −50 dB
    const Canvas canvas = curve_chart(panels);
    std::vector<Path> curves;
    for (const Path& path : shapes_on<Path>(canvas))
        if (path.points.size() > 10)
            curves.push_back(path);
    REQUIRE(curves.size() == 2);
    CHECK(!curves[0].stroke->dashes.empty());
    CHECK(curves[1].stroke->dashes.empty());
    const auto width = [](const Path& path) { return path.points.back().x - path.points.front().x; };
    CHECK(width(curves[1]) == relative(width(curves[0]) / 2).epsilon(0.001));
    for (const char* part : {"63\u00a0Hz\n", "before 1.20\u00a0s\n", "after 0.60\u00a0s\n"})
        CHECK_MESSAGE(has(words_on(canvas), part), part);
    CHECK(!has(words_on(canvas), "SIMULATED"));
    panels.simulated = true;
    CHECK(has(words_on(curve_chart(panels)), "SIMULATED"));
}

TEST_CASE("shapes of modes: one plan per predicted mode, pressure of either sign, traps in scale") {
    const ModalForecast modal = *samples::forecast_report().modal;
    const Canvas canvas = mode_shapes_chart(modal, 560);
    CHECK(has(words_on(canvas), "41.8 Hz (1 0 0)\n"));
    CHECK(has(words_on(canvas), "T60 1.60 to 0.80 s\n"));
    CHECK(!has(words_on(canvas), "63.1")); // no shape, no plan
    Colour minus = palette::before, plus = palette::after;
    minus.opacity = 0.85;
    plus.opacity = 0.85 * 0.5;
    CHECK(areas_of(canvas, minus) == 1);
    CHECK(areas_of(canvas, plus) == plan_view_x * plan_view_y - 1);
    const auto paths = shapes_on<Path>(canvas);
    const Path &room = paths[paths.size() - 2], &trap = paths.back();
    CHECK((trap.points[2].x - trap.points[0].x) / (room.points[2].x - room.points[0].x) ==
          relative(0.6 / 4.1));
    CHECK((trap.points[2].y - trap.points[0].y) / (room.points[2].y - room.points[0].y) ==
          relative(1.2 / 3.3));
}

TEST_CASE("the sketch is to scale: places stand where job.toml puts them") {
    const JobDescription job = samples::job();
    const Canvas canvas = room_sketch(job, SketchOf::plan, Units::metric, {560, 300, 9});
    const auto paths = shapes_on<Path>(canvas);
    const Path& walls = paths.front(); // from above, front wall at the top
    const double across = walls.points[1].x - walls.points[0].x, down = walls.points[2].y - walls.points[1].y;
    CHECK(down / across == relative(4.1 / 3.3));
    const auto circles = shapes_on<Circle>(canvas);
    REQUIRE(circles.size() == 6); // in both views
    CHECK(circles[1].hover == "M2");
    CHECK((circles[1].centre.x - walls.points[0].x) / across == relative(2.3 / 3.3));
    CHECK((circles[1].centre.y - walls.points[0].y) / down == relative(1.9 / 4.1));
    std::vector<Path> frames;
    for (const Path& path : paths)
        if (path.stroke && path.stroke->width == walls.stroke->width && path.closed && !path.fill)
            frames.push_back(path);
    REQUIRE(frames.size() == 2);
    const double floor = frames[1].points[2].y, ceiling = frames[1].points[0].y; // from the right side
    CHECK((floor - circles[4].centre.y) / (floor - ceiling) == relative(1.35 / 2.6));
    CHECK(same(*circles[0].fill, palette::after)); // somebody listens there
    CHECK(same(*circles[1].fill, palette::paper));
    for (const char* part :
         {"A\n", "B\n", "S1\n", "M3\n", "4.10\u00a0m\n", "3.30\u00a0m\n", "2.60\u00a0m\n", "1\u00a0m"})
        CHECK_MESSAGE(has(words_on(canvas), part), part);
    CHECK(has(words_on(room_sketch(job, SketchOf::plan, Units::imperial, {560, 300, 9})), "13\u00a0ft"));
}

TEST_CASE(
    "the sketch is open to recesses, grows for them, hatches solid parts and names them with the patches") {
    JobDescription job = samples::job();
    job.room.parts = {{"breast", RoomPart::Kind::solid, {0, 1.2, 0}, {0.4, 2.2, 2.6}},
                      {"niche", RoomPart::Kind::recess, {1, -0.3, 0}, {2, 0, 2}}};
    job.room.patches = {{"door", RoomPatch::Kind::door, {Wall::right, {2.5, 0}, {3.4, 2}}}};
    const Canvas canvas = room_sketch(job, SketchOf::plan, Units::metric, {560, 300, 9});
    const auto paths = shapes_on<Path>(canvas);
    const Path& walls = paths.front();
    REQUIRE(walls.points.size() == 8); // four corners, and four of the niche, which lies at the left
    const auto [left, right] = std::minmax_element(walls.points.begin(), walls.points.end(),
                                                   [](const Spot& a, const Spot& b) { return a.x < b.x; });
    const auto [top, bottom] = std::minmax_element(walls.points.begin(), walls.points.end(),
                                                   [](const Spot& a, const Spot& b) { return a.y < b.y; });
    CHECK((bottom->y - top->y) / (right->x - left->x) == relative(4.1 / 3.6));
    const auto named = [&](const char* name) {
        std::vector<Path> all;
        for (const Path& path : paths)
            if (path.hover == name)
                all.push_back(path);
        return all;
    };
    REQUIRE(named("breast").size() == 2);
    const Path breast = named("breast")[0];
    CHECK((breast.points[2].x - breast.points[0].x) / (bottom->y - top->y) == relative(1.0 / 4.1));
    REQUIRE(named("niche").size() == 1); // from the side it lies behind the wall
    CHECK(!named("niche")[0].stroke->dashes.empty());
    REQUIRE(named("door").size() == 2);
    CHECK(named("door")[0].points[0].x == relative(right->x)); // on its wall
    CHECK(named("door")[1].closed);
    for (const char* part : {"breast\n", "niche\n", "door\n", "3.30\u00a0m\n"})
        CHECK_MESSAGE(has(words_on(canvas), part), part);
    // Microphones stand as far from the front left corner as before.
    const auto circles = shapes_on<Circle>(canvas);
    CHECK((circles[1].centre.x - walls.points[0].x) / (right->x - walls.points[0].x) == relative(2.3 / 3.3));
}

TEST_CASE("a trap built elsewhere is drawn where it is, and dashed where it was planned") {
    const auto dashed = [](SketchOf which) {
        const Canvas canvas = room_sketch(samples::proof_input().job, which, Units::metric, {560, 300, 9});
        const auto paths = shapes_on<Path>(canvas);
        return std::count_if(paths.begin(), paths.end(),
                             [](const Path& path) { return path.stroke && !path.stroke->dashes.empty(); });
    };
    CHECK(dashed(SketchOf::built) == 2); // in both views
    CHECK(dashed(SketchOf::plan) == 0);
}

TEST_CASE("traps have letters without end, and a depth without cloth") {
    CHECK(trap_letter(0) == "A");
    CHECK(trap_letter(25) == "Z");
    CHECK(trap_letter(26) == "A2");
    CHECK(depth_m(samples::job().traps[0].layers) == relative(0.2));
    CHECK(sketch_height({Box{{4.1, 3.3, 2.6}}}, PageWidth::narrow) >
          sketch_height({Box{{4.1, 3.3, 2.6}}}, PageWidth::wide));
    CHECK(sketch_height({Box{{40, 3.3, 2.6}}}, PageWidth::wide) <= 0.5);
}

TEST_CASE("what a reader who cannot see a chart is told counts what is on it") {
    CHECK(has(chart_description(samples::whole_comparison()), "10"));
    CHECK(has(chart_description(samples::decay_report()), "1"));
    CHECK(has(chart_description(*samples::proof_input().waterfall), "2"));
    CHECK(has(chart_description(*samples::proof_input().waterfall), "145")); // Hz, the highest frequency
}

TEST_CASE("results become pictures of the format that the name asks for") {
    const RingingReport ringing = samples::ringing_report();
    const ForecastReport forecast = samples::forecast_report();
    CHECK(picture_of(ringing, ".png").starts_with("\x89PNG"));
    CHECK(picture_of(forecast, ".pdf").starts_with("%PDF-1."));
    CHECK(has(picture_of(forecast, ".svg"), "<svg"));
}
