// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/summary.hpp"

#include "decay/onset.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace ebbmark {

namespace {

/// The response between these frequencies, with edges a tenth wide.
std::vector<double> between(const Signal& response, double from_hz, double to_hz) {
    RealFft fft(fast_fft_size(2 * response.size()));
    auto spectrum = fft.forward(response.samples);
    const double bin_hz = response.rate_hz / static_cast<double>(fft.size());
    const auto step = [](double x) {
        return 0.5 - 0.5 * std::cos(std::numbers::pi * std::clamp(x, 0.0, 1.0));
    };
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * bin_hz;
        spectrum[k] *= step((hz / from_hz - 0.95) / 0.1) * step((1.05 - hz / to_hz) / 0.1);
    }
    auto samples = fft.inverse(spectrum);
    samples.resize(response.size());
    return samples;
}

} // namespace

AudibilityThreshold audibility_threshold(double hz) {
    constexpr double low_hz = 32, low_s = 0.85, high_hz = 100, high_s = 0.2;
    const double part = std::clamp(std::log(hz / low_hz) / std::log(high_hz / low_hz), 0.0, 1.0);
    return {low_s + part * (high_s - low_s), 16 * 3 * std::numbers::ln10 / (std::numbers::pi * hz)};
}

std::vector<std::size_t> longest_ringing(const Ringing& ringing, std::size_t count) {
    std::vector<std::size_t> order(ringing.modes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return *ringing.modes[a].t60_s > *ringing.modes[b].t60_s;
    });
    order.resize(std::min(count, order.size()));
    return order;
}

std::array<Measured, 3> energy_left_db(std::span<const Signal> responses, double from_hz, double to_hz,
                                       const std::array<double, 3>& after_s) {
    double whole = 0;
    std::array<double, 3> left{}, doubtful{};
    for (const Signal& response : responses) {
        const auto samples = between(response, from_hz, to_hz);
        const std::size_t onset = frames(find_onset_s(response), response.rate_hz);
        const std::size_t size = samples.size(), tail = size - size / 5;
        const double noise = energy({samples.data() + tail, size - tail}) / static_cast<double>(size - tail);
        const auto beyond = [&](std::size_t start) {
            start = std::min(start, size);
            return energy({samples.data() + start, size - start}) - noise * static_cast<double>(size - start);
        };
        const double all = beyond(onset);
        if (!(all > 0))
            continue;
        // Every position counts alike, whatever its level.
        whole += 1;
        for (std::size_t i = 0; i < after_s.size(); ++i) {
            const std::size_t start = onset + frames(after_s[i], response.rate_hz);
            left[i] += beyond(start) / all;
            doubtful[i] += noise * static_cast<double>(size - std::min(start, size)) / all;
        }
    }
    std::array<Measured, 3> made;
    for (std::size_t i = 0; i < after_s.size(); ++i)
        made[i] = whole > 0 && left[i] > 2 * doubtful[i] ? Measured::of(10 * std::log10(left[i] / whole))
                                                         : Measured::none(Empty::noise);
    return made;
}

} // namespace ebbmark
