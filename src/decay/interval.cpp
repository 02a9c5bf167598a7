// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/interval.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace ebbmark {

namespace {

// How far ln(T) lies from the measured value at the ends of the 95 % interval, times √(B · T) of the measured
// value, at B · T = 4, 8, 16 … 512. Not symmetric: a response that by chance decays slowly also claims more
// independent values than it has. Measured on decaying Gaussian noise and on sums of room modes with random
// strengths, octaves and thirds from 50 Hz to 3.15 kHz, T = 0.25 to 1.5 s, 15 to 75 dB of decay range
// (`decay_scenarios interval --tuning --cases 1000`).
struct Reach {
    std::array<double, 8> down, up;
};
constexpr Reach edt = {{1.0, 1.75, 3.7, 5.6, 5.6, 4.1, 3.65, 3.52},
                       {2.6, 2.6, 2.45, 2.35, 2.6, 2.67, 2.72, 2.8}};
constexpr Reach t20 = {{1.0, 1.45, 1.8, 1.93, 1.97, 1.75, 1.7, 1.65},
                       {1.3, 1.3, 1.17, 1.22, 1.3, 1.36, 1.4, 1.43}};
constexpr Reach t30 = {{0.82, 1.0, 1.12, 1.14, 1.13, 1.09, 1.07, 1.05},
                       {0.86, 0.8, 0.75, 0.79, 0.86, 0.9, 0.9, 0.91}};

const Reach& reach_of(DecayQuantity quantity) {
    return quantity == DecayQuantity::edt ? edt : quantity == DecayQuantity::t20 ? t20 : t30;
}

double at(const std::array<double, 8>& nodes, double bandwidth_time) {
    const double place = std::clamp(std::log2(bandwidth_time / 4), 0.0, 7.0);
    const auto node = std::min<std::size_t>(static_cast<std::size_t>(place), 6);
    return nodes[node] + (place - static_cast<double>(node)) * (nodes[node + 1] - nodes[node]);
}

} // namespace

double relative_scatter(DecayQuantity quantity, double bandwidth_time) {
    switch (quantity) {
    case DecayQuantity::edt: // measured: 1.5 to 1.7 from B · T = 64 on
        return 1.6 / std::sqrt(bandwidth_time);
    case DecayQuantity::t20:
        return 0.88 * std::sqrt(1 + 1.90 / 10) / std::sqrt(bandwidth_time);
    case DecayQuantity::t30:
        return 0.55 * std::sqrt(1 + 1.52 / 10) / std::sqrt(bandwidth_time);
    }
    return 0;
}

Measured with_interval(DecayQuantity quantity, double decay_s, double bandwidth_hz) {
    const double bandwidth_time = bandwidth_hz * decay_s, root = std::sqrt(bandwidth_time);
    const Reach& reach = reach_of(quantity);
    Measured measured = Measured::of(decay_s);
    measured.low = decay_s * std::exp(-at(reach.down, bandwidth_time) / root);
    measured.high = decay_s * std::exp(at(reach.up, bandwidth_time) / root);
    return measured;
}

} // namespace ebbmark
