// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/statement.hpp"

#include "room/absorption.hpp"
#include "room/modes.hpp"

namespace ebbmark {

namespace {

// ISO 3382-1:2009, A.3.1: the middle is the octaves of 500 Hz and 1 kHz (from memory).
constexpr double middle_from_hz = 400, middle_to_hz = 1250;

Measured middle_of(const std::vector<RoomDecay>& decays) {
    double sum = 0;
    int count = 0;
    std::optional<Empty> why;
    for (const RoomDecay& decay : decays) {
        if (decay.band.nominal_hz < middle_from_hz || decay.band.nominal_hz > middle_to_hz)
            continue;
        if (decay.decay_s)
            sum += *decay.decay_s, ++count;
        else if (!why)
            why = decay.decay_s.empty;
    }
    return count > 0 ? Measured::of(sum / count) : Measured::none(why.value_or(Empty::excluded));
}

Measured area_of(double volume_m3, const Measured& decay_s, double celsius, double air_per_m) {
    if (!decay_s)
        return decay_s;
    const auto area = [&](double time_s) {
        return absorption_area_m2(volume_m3, {time_s, celsius, air_per_m});
    };
    if (!(area(*decay_s) > 0))
        return Measured::none(Empty::conditions);
    Measured measured = Measured::of(area(*decay_s));
    if (decay_s.high)
        measured.low = area(*decay_s.high);
    if (decay_s.low)
        measured.high = area(*decay_s.low);
    return measured;
}

BandAbsorption absorption_of(const RoomStatement& room, const RoomDecay& decay) {
    BandAbsorption band;
    band.band = decay.band;
    band.as_if_diffuse = !room.schroeder_hz || decay.band.exact_hz < *room.schroeder_hz;
    band.area_m2 = decay.decay_s ? Measured::none(Empty::conditions) : decay.decay_s;
    if (!room.volume_m3)
        return band;
    const double air_per_m = air_attenuation_per_m(decay.band.exact_hz, room.air);
    band.air_m2 = 4 * air_per_m * *room.volume_m3;
    band.area_m2 = area_of(*room.volume_m3, decay.decay_s, room.air.celsius, air_per_m);
    if (band.area_m2 && room.surface_m2)
        band.mean_coefficient = *band.area_m2 / *room.surface_m2;
    return band;
}

void add_notes(RoomStatement& room, const std::vector<RoomDecay>& decays) {
    if (!room.volume_m3)
        room.notes.push_back(VolumeUnknown{});
    else if (!room.surface_m2)
        room.notes.push_back(SurfaceUnknown{});
    if (room.volume_m3 && !room.mid_decay_s)
        room.notes.push_back(NoMidDecay{});
    for (std::size_t i = 0; room.volume_m3 && i < decays.size(); ++i)
        if (decays[i].decay_s && !room.bands[i].area_m2) {
            room.notes.push_back(LongerThanAir{});
            break;
        }
}

} // namespace

RoomStatement room_statement(std::optional<double> volume_m3, std::optional<double> surface_m2,
                             const Air& air, const std::vector<RoomDecay>& decays) {
    RoomStatement room{volume_m3, surface_m2, air, middle_of(decays), {}, {}, {}};
    if (volume_m3 && room.mid_decay_s)
        room.schroeder_hz = schroeder_hz(*room.mid_decay_s, *volume_m3);
    for (const RoomDecay& decay : decays)
        room.bands.push_back(absorption_of(room, decay));
    add_notes(room, decays);
    return room;
}

} // namespace ebbmark
