// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/allowances.hpp"

#include "room/air.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// From `low` up to `low_hz` to `high` from `high_hz` on, straight over log frequency.
double between(double hz, double low_hz, double low, double high_hz, double high) {
    const double part = std::clamp(std::log(hz / low_hz) / std::log(high_hz / low_hz), 0.0, 1.0);
    return low + part * (high - low);
}

} // namespace

double beside_deviation(const Band& band) {
    const bool octave = band.width == BandWidth::octave;
    return octave ? between(band.exact_hz, 400, 0.023, 2000, 0.048)
                  : between(band.exact_hz, 250, 0.035, 2000, 0.083);
}

double put_back_deviation(const Band& band) {
    return beside_deviation(band) / 5;
}

double unrecorded_air_variance(const Band& band, double decay_s) {
    double low = 1e9, high = 0;
    for (const double celsius : {19.0, 20.0, 21.0})
        for (const double humidity : {40.0, 50.0, 60.0}) {
            const Air air{celsius, humidity};
            const double rate = speed_of_sound(air) * air_attenuation_per_m(band.exact_hz, air);
            low = std::min(low, rate);
            high = std::max(high, rate);
        }
    // The air cannot be more than the whole decay.
    const double range = std::min(0.9, (high - low) * decay_s / (6 * std::log(10.0)));
    return 2 * range * range / 12;
}

double another_microphone_variance() {
    return 0.01 * 0.01;
}

double loudspeaker_share(const Band& band) {
    return between(band.exact_hz, 400, 1, 800, 0);
}

} // namespace ebbmark
