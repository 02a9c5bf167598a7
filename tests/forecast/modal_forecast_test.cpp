// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "forecast/modal_forecast.hpp"
#include "forecast/wall_fit.hpp"
#include "relative.hpp"
#include "room/modes.hpp"

#include <numbers>

using namespace ebbmark;

namespace {

LayerPlan wool(double thickness_m) {
    Material material;
    material.name = "wool";
    material.density_kg_m3 = 24;
    material.flow_resistivity = {6400, 9900, 15200};
    material.density_exponent = 1.53;
    return {material, thickness_m, {}, {}, {}, {}};
}

PlacedTrap flat_trap() {
    return {{"rear", 1.2, 2.4, true, {wool(0.2)}}, {1.2, 2.4, Wall::rear, {}, 0, 0}};
}

/// A room whose walls have β = 0.01: 6.9/δ of each mode.
ModalRoom measured_room() {
    ModalRoom input;
    input.box = {{4, 3, 2.4}};
    input.to_hz = 90;
    for (const RoomMode& mode : room_modes(input.box, 343, 90)) {
        const auto a = wall_equation(input.box, 343, mode.order).per_axis;
        const double t = 3 * std::numbers::ln10 / (0.01 * (a[0] + a[1] + a[2]));
        input.modes.push_back({mode.hz, {t, t * 0.98, t * 1.02, {}}, mode.order});
    }
    input.bands = bands_between(BandWidth::third, 50, 80);
    input.decay_s.assign(input.bands.size(), {1.5, 1.4, 1.6, {}});
    input.positions = {{{0.5, 0.4, 1}, {3.1, 2.2, 1.2}}, {{0.5, 0.4, 1}, {1.7, 2.5, 1.4}}};
    return input;
}

} // namespace

TEST_CASE("every named mode rings shorter with a deep trap, and what reaches it says how much") {
    const ModalForecast found = ModalForecaster(measured_room()).forecast({flat_trap()}, 300, 1);
    REQUIRE(found.modes.size() > 4);
    for (const ForecastMode& mode : found.modes) {
        REQUIRE(mode.predicted_t60_s); // Source: property
        CHECK(*mode.predicted_t60_s < *mode.before_t60_s);
        CHECK(*mode.predicted_t60_s.low <= *mode.predicted_t60_s);
        CHECK(*mode.predicted_t60_s <= *mode.predicted_t60_s.high);
        CHECK(*mode.predicted_hz < mode.before_hz); // springy: see the first-order rule
        CHECK(mode.overlap >= least_overlap);
    }
    // Source: closed form: at the rear wall over 0.2 m of 4 m, 1 + mean of cos(2 pi x / 4).
    const double k = 2 * std::numbers::pi / 4;
    CHECK(found.modes[0].at_traps == relative(1 + std::sin(k * 0.2) / (k * 0.2)).epsilon(1e-6));
    for (std::size_t axis = 0; axis < 3; ++axis)
        CHECK(found.wall_admittance[axis] == relative(0.01).epsilon(0.1));
    REQUIRE(found.band_s.size() == 3);
    CHECK(found.band_s[0]);
    CHECK(*found.band_s[0] < 1.5);
    CHECK(found.band_s[2].empty == Empty::conditions); // modes do not reach far enough above 80 Hz
}

TEST_CASE("bands after: one quick solution agrees with the forecast, a corner does more than the middle of a "
          "wall") {
    const ModalForecaster forecaster(measured_room());
    const auto full = forecaster.forecast({flat_trap()}, 100, 1).band_s;
    const auto quick = forecaster.bands_after({flat_trap()});
    REQUIRE(quick.size() == full.size());
    for (std::size_t b = 0; b < full.size(); ++b) {
        REQUIRE(quick[b].has_value() == bool(full[b]));
        if (quick[b]) {
            CHECK(*quick[b] > *full[b].low);
            CHECK(*quick[b] < *full[b].high);
        }
    }
    // Source: property: most modes are loud in the corners.
    PlacedTrap middle = flat_trap();
    middle.place.along_m = 0.9;
    CHECK(*quick[0] < *forecaster.bands_after({middle})[0]);
}

TEST_CASE("a trap of nothing but air leaves every mode as it was") {
    PlacedTrap trap = flat_trap();
    trap.plan.layers[0].material.kind = LayerKind::air;
    const ModalForecast found = ModalForecaster(measured_room()).forecast({trap}, 300, 1);
    for (const ForecastMode& mode : found.modes) {
        REQUIRE(mode.predicted_t60_s);
        CHECK(*mode.predicted_t60_s == relative(*mode.before_t60_s).epsilon(0.005));
        // Two grids, each within 0.05 %.
        CHECK(*mode.predicted_hz == relative(mode.before_hz).epsilon(1e-3));
    }
}

TEST_CASE("modes without a name and traps that do not fit") {
    ModalRoom room = measured_room();
    room.modes.resize(1);
    room.modes[0].order.reset();
    room.to_hz = 60;
    PlacedTrap trap = flat_trap();
    const ModalForecaster forecaster(room);
    CHECK(!forecaster.forecast({trap}, 10, 1).modes[0].predicted_t60_s);
    trap.place.along_m = 2;
    CHECK_THROWS_AS(forecaster.forecast({trap}, 10, 1), Error);
    CHECK_THROWS_AS(forecaster.bands_after({trap}), Error);
}
