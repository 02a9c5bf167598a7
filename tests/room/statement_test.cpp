// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "room/absorption.hpp"
#include "room/statement.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace ebbmark;

namespace {

std::vector<RoomDecay> decays(double time_s) {
    std::vector<RoomDecay> all;
    for (const Band& band : bands_between(BandWidth::octave, 63, 4000))
        all.push_back({band, {time_s, time_s * 0.9, time_s * 1.1, {}}});
    return all;
}

} // namespace

TEST_CASE("the Schroeder frequency comes from the middle bands and the volume") {
    // Source: published. 2000 √(T/V) of two worked rooms: 50 m³ with 0.5 s, 105 m³ with 0.6 s.
    CHECK(*room_statement(50, {}, {}, decays(0.5)).schroeder_hz == relative(200));
    CHECK(*room_statement(105, {}, {}, decays(0.6)).schroeder_hz == relative(151.2).epsilon(1e-3));
    auto bass_only = decays(0.5);
    bass_only.resize(3); // 63 to 250 Hz
    const RoomStatement room = room_statement(50, {}, {}, bass_only);
    CHECK_FALSE(room.schroeder_hz);
    for (const BandAbsorption& band : room.bands)
        CHECK(band.as_if_diffuse);
    CHECK(room.notes == std::vector<RoomNote>{SurfaceUnknown{}, NoMidDecay{}});
}

TEST_CASE("the bare room of a standard's example has the absorption area that the standard prints") {
    // Source: published. EN 12354-6 Annex E: V 29.75 m³, T 2.1 s (rounded), A 2.26 m² at 1 kHz.
    // The table has two digits of T: ± 2.4 %.
    const auto room = room_statement(29.75, {}, {}, {{band_at(BandWidth::octave, 0), Measured::of(2.1)}});
    CHECK(*room.bands[0].area_m2 + *room.bands[0].air_m2 == relative(2.26).epsilon(0.03));
}

TEST_CASE("areas take the air out and carry the interval of the decay time turned round") {
    // Source: closed form. 55.3 · 50 / (343 · 0.8) = 10.076 m² with c = 331 + 0.6 · 20; published air at 20
    // °C and 50 %: 4.665 dB/km at 1 kHz (ISO 9613-1), 4 m V = 4 · 4.665e-3 / 4.343 · 50 = 0.2148 m².
    const RoomStatement room = room_statement(50, 100, {}, decays(0.8));
    const BandAbsorption& band = room.bands[4];
    REQUIRE(band.band.nominal_hz == 1000);
    CHECK(*band.air_m2 == relative(0.2148).epsilon(1e-3));
    CHECK(*band.area_m2 == relative(10.076 - 0.2148).epsilon(1e-3));
    CHECK(*band.area_m2.low < *band.area_m2);
    CHECK(*band.area_m2.high == relative(10.076 / 0.9 - 0.2148).epsilon(1e-3));
    CHECK(*band.mean_coefficient == relative(0.0986).epsilon(1e-3));
    CHECK_FALSE(band.as_if_diffuse); // Schroeder frequency 253 Hz
    CHECK(room.bands[1].as_if_diffuse);
    CHECK_FALSE(room.bands[3].as_if_diffuse);
}

TEST_CASE("Sabine's formula turns the areas back into the decay time") {
    // Source: property. The constants of ISO 354 are rounded: 55.3 for 55.262, and 331 + 0.6 t leaves out the
    // humidity, which adds a quarter of a per cent here.
    const Air air{23, 40, 101325};
    const RoomStatement room = room_statement(35, 70, air, decays(0.6));
    for (const BandAbsorption& band : room.bands) {
        const AbsorbingArea area{70, *band.mean_coefficient};
        CHECK(sabine_s(35, {&area, 1}, speed_of_sound(air), air_attenuation_per_m(band.band.exact_hz, air)) ==
              relative(0.6).epsilon(4e-3));
    }
}

TEST_CASE("what is not known stays empty with its reason") {
    auto some = decays(0.5);
    some[0].decay_s = Measured::none(Empty::noise);
    const RoomStatement no_volume = room_statement({}, {}, {}, some);
    CHECK_FALSE(no_volume.schroeder_hz);
    CHECK(no_volume.bands[0].area_m2.empty == Empty::noise);
    CHECK(no_volume.bands[1].area_m2.empty == Empty::conditions);
    CHECK_FALSE(no_volume.bands[1].air_m2);
    CHECK(no_volume.notes == std::vector<RoomNote>{VolumeUnknown{}});
    const RoomStatement no_surface = room_statement(50, {}, {}, some);
    CHECK(no_surface.bands[1].area_m2);
    CHECK_FALSE(no_surface.bands[1].mean_coefficient);
}

TEST_CASE("a decay longer than the air allows gives no area") {
    // At 8 kHz, 20 °C, 50 % the air alone gives T = 55.3 / (343 · 4 · 0.0239) = 1.7 s.
    const RoomStatement room =
        room_statement(200, {}, {}, {{band_at(BandWidth::octave, 3), Measured::of(2.0)}});
    CHECK(room.bands[0].area_m2.empty == Empty::conditions);
    CHECK(room.notes.back() == RoomNote(LongerThanAir{}));
}
