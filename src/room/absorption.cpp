// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/absorption.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

struct Sum {
    double area_m2 = 0;
    double absorption_m2 = 0;
};

Sum sum_of(std::span<const AbsorbingArea> areas) {
    Sum sum;
    for (const AbsorbingArea& part : areas) {
        sum.area_m2 += part.area_m2;
        sum.absorption_m2 += part.area_m2 * part.alpha;
    }
    return sum;
}

double decay_s(double volume_m3, double absorption_m2, double speed_of_sound, double air_per_m) {
    return 24 * std::numbers::ln10 * volume_m3 / speed_of_sound / (absorption_m2 + 4 * air_per_m * volume_m3);
}

/// 55.3 V / (c T) with the standard's rounded constant and speed of sound.
double standard_area_m2(double volume_m3, const DecayState& state) {
    return 55.3 * volume_m3 / ((331 + 0.6 * state.celsius) * state.decay_s);
}

} // namespace

double sabine_s(double volume_m3, std::span<const AbsorbingArea> areas, double speed_of_sound,
                double air_per_m) {
    return decay_s(volume_m3, sum_of(areas).absorption_m2, speed_of_sound, air_per_m);
}

double eyring_s(double volume_m3, std::span<const AbsorbingArea> areas, double speed_of_sound,
                double air_per_m) {
    const Sum sum = sum_of(areas);
    return decay_s(volume_m3, -sum.area_m2 * std::log1p(-sum.absorption_m2 / sum.area_m2), speed_of_sound,
                   air_per_m);
}

double absorption_area_m2(double volume_m3, const DecayState& state) {
    return standard_area_m2(volume_m3, state) - 4 * volume_m3 * state.air_per_m;
}

double added_absorption_m2(double volume_m3, const DecayState& before, const DecayState& after) {
    return absorption_area_m2(volume_m3, after) - absorption_area_m2(volume_m3, before);
}

double added_absorption_uncertainty_m2(double volume_m3, const DecayState& before, const DecayState& after,
                                       double relative_before, double relative_after) {
    return std::hypot(standard_area_m2(volume_m3, before) * relative_before,
                      standard_area_m2(volume_m3, after) * relative_after);
}

} // namespace ebbmark
