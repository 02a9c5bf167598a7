// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/design.hpp"
#include "forecast/trap_places.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;

namespace {

TrapPlan board() {
    Material wool;
    wool.density_kg_m3 = 32;
    wool.flow_resistivity = {10000, 15000, 20000};
    wool.density_exponent = 1.53;
    return {"board", 0.6, 1.2, false, {{wool, 0.1, {}, {}, {}, {}}}};
}

std::vector<TrapForecast> planned() {
    return {TrapForecast(board(), bands_between(BandWidth::octave, 63, 500), {})};
}

/// A room that falls from 1 s to `after_s` in its bands at 125, 250 and 500 Hz; the lowest has no forecast.
RoomForecast falling_to(double after_s) {
    RoomForecast room;
    for (const Band& band : bands_between(BandWidth::octave, 63, 500))
        room.bands.push_back({band, Measured::of(1), Measured::of(after_s), {}});
    room.bands[0].predicted_s = Measured::none(Empty::conditions);
    return room;
}

} // namespace

TEST_CASE("variants change one thing each, and wool is counted as it stands") {
    CHECK(wool_m3(planned()) == relative(0.072)); // 0.6 m x 1.2 m x 0.1 m
    int deeper = 0, more = 0, open = 0;
    for (const DesignVariant& variant : design_variants(planned(), {})) {
        const double wool = wool_m3(variant.traps);
        deeper += variant.traps.size() == 1 && wool > 0.1;
        more +=
            variant.traps.size() > 1 && wool == relative(0.072 * static_cast<double>(variant.traps.size()));
        open += variant.traps[0].plan().open_sides.all();
    }
    CHECK(deeper == 2);
    CHECK(more == 3);
    CHECK(open == 1);
}

TEST_CASE("denser wool keeps its volume and resists as its density to the material's power") {
    for (const DesignVariant& variant : design_variants(planned(), {}))
        if (variant.what.find("twice the density") != std::string::npos) {
            CHECK(built_density_kg_m3(variant.traps[0].plan().layers[0]) == relative(64));
            CHECK(wool_m3(variant.traps) == relative(0.072));
        }
}

TEST_CASE("without draws a forecast has middle values alone, and more of a trap shortens the decay") {
    // Source: property; Sabine's and Eyring's decay both fall where a board absorbs more than the wall behind
    // it.
    RoomBefore room{400, 350, {}, {}, {}};
    room.bands = bands_between(BandWidth::octave, 63, 500);
    room.decay_s.assign(room.bands.size(), Measured::of(0.5));
    const auto traps = planned();
    const ForecastBand plan = forecast(room, traps, 0, 0).bands[3];
    REQUIRE(plan.predicted_s);
    CHECK_FALSE(plan.predicted_s.low);
    for (const DesignVariant& variant : design_variants(traps, {}))
        if (variant.what.find("more of the same") != std::string::npos)
            CHECK(*forecast(room, variant.traps, 0, 0).bands[3].predicted_s < *plan.predicted_s);
}

TEST_CASE("an aim is met by the mean fall of the bands that are covered, and by every band with a limit") {
    DesignAim aim{63, 500, 20, {}};
    CHECK(*question_change_percent(falling_to(0.7), aim) == relative(-30));
    CHECK(meets(falling_to(0.7), aim) == true);
    CHECK(meets(falling_to(0.9), aim) == false);
    aim.highest_s = {{}, 0.8, 0.6, {}};
    CHECK(meets(falling_to(0.7), aim) == false);
    CHECK(meets(falling_to(0.6), aim) == true);
}

TEST_CASE("traps that are built alike change together") {
    TrapPlan other = board();
    other.name = "other";
    TrapPlan thicker = board();
    thicker.layers[0].thickness_m = 0.2;
    std::vector<TrapForecast> traps = planned();
    traps.push_back(traps[0].with(other));
    traps.push_back(traps[0].with(thicker));
    std::size_t doubled = 0;
    for (const DesignVariant& variant : design_variants(traps, {}))
        if (variant.what.find("twice the wool") != std::string::npos) {
            ++doubled;
            CHECK(variant.traps[0].plan().depth_m() == variant.traps[1].plan().depth_m());
            CHECK((variant.traps[0].plan().depth_m() == relative(0.2)) ==
                  (variant.traps[2].plan().depth_m() == relative(0.2)));
        }
    CHECK(doubled == 2);
}

TEST_CASE("a trap is moved only to where it fits, is in nobody's way and holds no microphone") {
    DesignRoom room{Box{{4, 3, 2.4}}, {{0.6, 1.2, Wall::rear, {}, 1.2, 0.4}}, {}};
    const auto traps = planned();
    const auto moved = moved_variants(traps, room);
    const auto has = [](const std::vector<DesignVariant>& variants, const char* where) {
        return std::any_of(variants.begin(), variants.end(),
                           [&](const DesignVariant& v) { return v.what.find(where) != std::string::npos; });
    };
    CHECK(moved.size() == 12); // 4 corners, 4 edges, 3 other walls and the ceiling
    CHECK(has(moved, "board: stands in the front left corner"));
    CHECK(!has(moved, "middle of the rear wall"));
    for (const DesignVariant& variant : moved) {
        INFO(variant.what);
        CHECK(standing(variant, room));
        CHECK(wool_m3(variant.traps) == relative(wool_m3(traps)));
    }
    room.clear.points = {{0.1, 0.1, 1.2}}; // a microphone in the front left corner
    CHECK(!has(moved_variants(traps, room), "front left corner"));
    // A second trap stands where the first could go.
    auto two = planned();
    two.push_back(two[0]);
    room.places.push_back({0.6, 1.2, Wall::front, Wall::right, 0, 0.4});
    CHECK(!has(moved_variants(two, room), "front right corner"));
    CHECK(moved_variants(traps, {}).empty());
    // More of the same find places of their own; without a room they have none.
    for (const DesignVariant& variant : design_variants(two, room))
        if (variant.what.find("more of the same") != std::string::npos)
            CHECK(standing(variant, room));
    CHECK(!standing(design_variants(traps, {}).back(), {}));
    // A room too small for four more of them has no such advice.
    const DesignRoom closet{Box{{1.0, 0.9, 1.3}}, {{0.6, 1.2, Wall::rear, {}, 0.1, 0}}, {}};
    CHECK(!has(design_variants(traps, closet), "4 more"));
    CHECK(has(design_variants(traps, room), "4 more"));
    // A frame with strips, and what is a box already, stands across a corner as one.
    TrapPlan strips = board();
    strips.layers[0].dividers = Dividers{0.1, 0.012, {}, Dividers::Ends::opposite, Dividers::Run::height};
    for (const FreePlace& place : free_places(*room.box, strips, {}, {}, false))
        CHECK(place.trap.place.box_across == place.trap.place.corner_with.has_value());
    for (const FreePlace& place : free_places(*room.box, board(), {}, {}, false))
        CHECK_FALSE(place.trap.place.box_across);
}

TEST_CASE("nothing is built before a door, and what stands where it is loud is tried first") {
    DesignRoom room{Box{{4, 3, 2.4}}, {{0.6, 1.2, Wall::rear, {}, 1.2, 0.4}}, {}};
    const auto traps = planned();
    auto moved = moved_variants(traps, room);
    put_likely_first(moved, room, 343, 40, 100);
    REQUIRE(moved.size() == 12);
    // Source: closed form. Every mode is loudest in a corner; the middle of a wall is a node of all its odd
    // ones.
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(moved[i].what.find("corner") != std::string::npos);
    CHECK(moved.back().what.find("middle") != std::string::npos);
    room.clear.bodies = {
        {"door", RoomPart::Kind::solid, {0, 0, 0}, {0.9, 0.3, 2}}}; // in the left wall, at the front
    for (const DesignVariant& variant : moved_variants(traps, room)) {
        INFO(variant.what);
        CHECK(variant.what.find("front left corner") == std::string::npos);
    }
}

TEST_CASE("seen from above a trap on a wall is as deep as its layers, one across a corner a triangle") {
    const Box box{{4, 3, 2.4}};
    const auto flat = plan_outline(box, {board(), {0.6, 1.2, Wall::rear, {}, 1, 0.4}});
    REQUIRE(flat.size() == 4);
    CHECK(flat[0][0] == relative(3.9)); // 0.1 m of wool before x = 4 m
    CHECK(flat[2][0] == relative(4));
    CHECK(flat[2][1] - flat[0][1] == relative(0.6));
    const double leg = 0.6 / std::sqrt(2);
    const auto corner = plan_outline(box, {board(), {0.6, 1.2, Wall::rear, Wall::right, 0, 0.4}});
    REQUIRE(corner.size() == 3);
    CHECK(corner[0] == std::array<double, 2>{4, 3});
    CHECK(corner[1][0] == relative(4 - leg));
    CHECK(corner[2][1] == relative(3 - leg));
    // On its side in the edge of a wall and the ceiling: its face spans the edge with its height.
    CHECK(plan_outline(box, {board(), {1.2, 0.6, Wall::front, Wall::ceiling, 1, 0}})[2][0] == relative(leg));
}

TEST_CASE("an aim below what the forecast covers is not judged") {
    const DesignAim bass{40, 125, 20, {}};
    RoomForecast room = falling_to(0.5);
    room.bands[1].predicted_s = Measured::none(Empty::conditions);
    CHECK_FALSE(question_change_percent(room, bass));
    CHECK_FALSE(meets(room, bass));
    CHECK_FALSE(meets(falling_to(0.5), DesignAim{40, 500, {}, {}}));
}
