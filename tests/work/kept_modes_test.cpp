// SPDX-License-Identifier: GPL-3.0-or-later
#include "../job/sample.hpp"
#include "work/kept_modes.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <set>

using namespace ebbmark;

namespace {

ModalRoom room() {
    ModalRoom made;
    made.box = Box{{4.1, 3.3, 2.6}};
    made.modes = {{41.9, {1.07, 1.0, 1.2, {}}, std::array{1, 0, 0}}};
    made.bands = bands_between(BandWidth::third, 40, 50);
    made.decay_s = {{1.0, 0.9, 1.1, {}}, Measured::none(Empty::filter)};
    made.positions = {{{0.5, 0.5, 1}, {2, 2, 1}}};
    return made;
}

std::vector<PlacedTrap> trap() {
    Material wool;
    wool.density_kg_m3 = 45, wool.flow_resistivity = {5e3, 1e4, 2e4};
    return {{{"flat", 1.2, 1.8, true, {{wool, 0.12, {}, {}, {}, {}}}}, {1.2, 1.8, Wall::rear, {}, 0.4, 0.1}}};
}

ModalForecast forecast() {
    ModalForecast made;
    ForecastMode mode;
    mode.before_hz = 41.98, mode.before_t60_s = {1.07, 1.06, 1.08, {}}, mode.order = std::array{1, 0, 2};
    mode.predicted_hz = 41.7, mode.predicted_t60_s = {0.1 + 0.2, 0.2, 1 / 3.0, {}};
    mode.overlap = 0.93, mode.sensitivity = {0.1, 0.2, 0.3, 0.4}, mode.at_traps = 1.7;
    mode.plan_view = {1, -0.25, 1e-17};
    made.modes = {mode,
                  {88, Measured::none(Empty::overlap), {}, {}, Measured::none(Empty::overlap), 0, {}, 0, {}}};
    made.band_s = {{0.9, 0.8, 1.0, {}}, Measured::none(Empty::conditions)};
    made.band_parts = {{0.02, 0.01, 0.03}, {}};
    made.to_hz = 200, made.box = Box{{4.1, 3.3, 2.6}};
    made.outlines = {{{0, 0}, {1, 0.5}}};
    made.wall_admittance = {0.01, 0.02, 0.03};
    made.notes = {ModesMayBeMissing{78, 200, 70, TrapsInside::yes}, DampingUnexplained{{60.5, 71}}};
    return made;
}

} // namespace

TEST_CASE("a forecast that is kept comes back to the last digit, for what it was made from alone") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    const MadeFrom from = modes_made_from(room(), trap(), 300, 1);
    CHECK_FALSE(kept_modes(job, from));
    const ModalForecast made = forecast();
    keep_modes(job, made, from);
    const auto kept = kept_modes(job, from);
    REQUIRE(kept);
    REQUIRE(kept->modes.size() == 2);
    const ForecastMode &one = kept->modes[0], &was = made.modes[0];
    CHECK(one.before_hz == was.before_hz);
    CHECK(one.before_t60_s == was.before_t60_s);
    CHECK(one.order == was.order);
    CHECK(one.predicted_hz == was.predicted_hz);
    CHECK(one.predicted_t60_s == was.predicted_t60_s);
    CHECK(one.overlap == was.overlap);
    CHECK(one.sensitivity.form == was.sensitivity.form);
    CHECK(one.sensitivity.frame == was.sensitivity.frame);
    CHECK(one.at_traps == was.at_traps);
    CHECK(one.plan_view == was.plan_view);
    CHECK(kept->modes[1].predicted_t60_s == made.modes[1].predicted_t60_s);
    CHECK_FALSE(kept->modes[1].order);
    CHECK(kept->band_s == made.band_s);
    CHECK(kept->band_parts[0].wool == made.band_parts[0].wool);
    CHECK(kept->to_hz == 200);
    CHECK(kept->outlines == made.outlines);
    CHECK(kept->wall_admittance == made.wall_admittance);
    CHECK(kept->notes == made.notes);
    CHECK_FALSE(kept_modes(job, modes_made_from(room(), trap(), 300, 2)));
}

TEST_CASE("every figure that a forecast rests on changes what it was made from") {
    const std::function<void(ModalRoom&)> of_room[] = {
        [](ModalRoom& r) { r.box.edges_m[1] += 1e-9; },
        [](ModalRoom& r) { r.air.speed_of_sound += 1e-9; },
        [](ModalRoom& r) { r.air.density_kg_m3 += 1e-9; },
        [](ModalRoom& r) { r.modes[0].hz += 1e-9; },
        [](ModalRoom& r) { r.modes[0].t60_s.low = 0.99; },
        [](ModalRoom& r) { r.modes[0].order.reset(); },
        [](ModalRoom& r) { r.decay_s[0].high = 1.11; },
        [](ModalRoom& r) { r.decay_s[1] = Measured::none(Empty::noise); },
        [](ModalRoom& r) { r.bands.pop_back(), r.decay_s.pop_back(); },
        [](ModalRoom& r) { r.positions[0].second[2] += 1e-9; },
        [](ModalRoom& r) { r.to_hz = 145; },
        [](ModalRoom& r) { r.bands_to_hz = 231; },
        [](ModalRoom& r) { r.shape_deviation = 0.1; },
        [](ModalRoom& r) {
            r.parts = {{"", RoomPart::Kind::solid, {0, 0, 0}, {1, 1, 1}}};
        }};
    const std::function<void(PlacedTrap&)> of_trap[] = {
        [](PlacedTrap& t) { t.plan.width_m += 1e-9; },
        [](PlacedTrap& t) { t.plan.open_sides.top = false; },
        [](PlacedTrap& t) { t.place.along_m += 1e-9; },
        [](PlacedTrap& t) { t.place.up_m += 1e-9; },
        [](PlacedTrap& t) { t.place.wall = Wall::front; },
        [](PlacedTrap& t) { t.place.corner_with = Wall::left; },
        [](PlacedTrap& t) { t.place.box_across = true; },
        [](PlacedTrap& t) { t.plan.layers[0].thickness_m += 1e-9; },
        [](PlacedTrap& t) { t.plan.layers[0].free_thickness_m = 0.15; },
        [](PlacedTrap& t) { t.plan.layers[0].density_kg_m3 = 40; },
        [](PlacedTrap& t) { t.plan.layers[0].flow_resistivity = 9e3; },
        [](PlacedTrap& t) { t.plan.layers[0].flow_resistance = 60; },
        [](PlacedTrap& t) { t.plan.layers[0].material.kind = LayerKind::cloth; },
        [](PlacedTrap& t) { t.plan.layers[0].material.flow_resistivity.high += 1e-6; },
        [](PlacedTrap& t) { t.plan.layers[0].material.tortuosity.low += 1e-9; },
        [](PlacedTrap& t) { t.plan.layers[0].material.density_exponent = 1.5; },
        [](PlacedTrap& t) { t.plan.layers[0].material.fibre_density_kg_m3 = 1400; },
        [](PlacedTrap& t) {
            t.plan.layers[0].dividers = Dividers{0.15, 0.018, {}, {}, {}};
        }};
    std::set<std::string> digests{modes_made_from(room(), trap(), 300, 1).digest,
                                  modes_made_from(room(), trap(), 299, 1).digest};
    for (const auto& change : of_room) {
        ModalRoom other = room();
        change(other);
        digests.insert(modes_made_from(other, trap(), 300, 1).digest);
    }
    for (const auto& change : of_trap) {
        auto other = trap();
        change(other[0]);
        digests.insert(modes_made_from(room(), other, 300, 1).digest);
    }
    CHECK(digests.size() == 2 + std::size(of_room) + std::size(of_trap));
}
