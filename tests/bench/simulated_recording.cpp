// SPDX-License-Identifier: GPL-3.0-or-later
#include "simulated_recording.hpp"

#include "signal/fft.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark::bench {

using std::numbers::pi;

double Dice::uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(generator_() >> 11) * 0x1p-53);
}

double Dice::normal() {
    const double radius = std::sqrt(-2 * std::log(uniform(1e-300, 1)));
    return radius * std::cos(2 * pi * uniform(0, 1));
}

std::vector<double> invented_room(double t60_s, double rate_hz, Dice& dice) {
    std::vector<double> h(static_cast<std::size_t>(1.2 * t60_s * rate_hz) + 4000);
    // Nothing arrives within a millisecond of the direct sound: the detour by a surface half a metre away is
    // longer.
    for (auto n = static_cast<std::size_t>(0.001 * rate_hz); n < h.size(); ++n)
        h[n] = 0.03 * dice.normal() * std::exp(-6.907755 * static_cast<double>(n) / rate_hz / t60_s);
    for (int k = 0; k < 6; ++k)
        h[static_cast<std::size_t>(dice.uniform(0.001, 0.02) * rate_hz)] += dice.uniform(-0.5, 0.5);
    h[0] = 1;
    return h;
}

std::vector<double> convolved(std::span<const double> a, std::span<const double> b) {
    RealFft fft(fast_fft_size(a.size() + b.size()));
    auto product = fft.forward(a);
    const auto other = fft.forward(b);
    for (std::size_t k = 0; k < product.size(); ++k)
        product[k] *= other[k];
    auto result = fft.inverse(product);
    result.resize(a.size() + b.size() - 1);
    return result;
}

Signal played(const Sweep& sweep, double second, double third) {
    Signal whole = whole_signal(sweep);
    const double constant_s = sweep.seconds / std::log(sweep.stop_hz / sweep.start_hz);
    const double amplitude = std::pow(10, sweep.level_dbfs / 20);
    const std::array<std::pair<int, double>, 2> harmonics{{{2, second}, {3, third}}};
    for (const auto& [order, part] : harmonics) {
        if (part == 0)
            continue;
        for (int repeat = 0; repeat < sweep.repeats; ++repeat) {
            const auto start = static_cast<std::size_t>(
                std::llround((sweep.lead_silence_s + repeat * sweep.repeat_period_s) * sweep.rate_hz));
            const auto length = static_cast<std::size_t>(sweep.seconds * sweep.rate_hz);
            for (std::size_t n = 0; n < length; ++n) {
                const double t_s = static_cast<double>(n) / sweep.rate_hz;
                const double hz = order * sweep.start_hz * std::exp(t_s / constant_s);
                const double anti_alias =
                    std::clamp((0.49 * sweep.rate_hz - hz) / (0.08 * sweep.rate_hz), 0.0, 1.0);
                const double fade = std::min(1.0, t_s / std::max(sweep.fade_in_s, 1e-9));
                const double phase = 2 * pi * sweep.start_hz * constant_s * std::expm1(t_s / constant_s);
                whole.samples[start + n] += amplitude * part * 0.5 * (1 - std::cos(pi * anti_alias)) * 0.5 *
                                            (1 - std::cos(pi * fade)) * std::sin(order * phase + 0.3 * order);
            }
        }
    }
    return whole;
}

std::vector<double> with_clock(std::span<const double> samples, double ppm) {
    constexpr int half = 48, phases = 4096;
    static const std::vector<double> table = [] {
        std::vector<double> values(static_cast<std::size_t>(half * phases) + 2);
        constexpr double beta = 12;
        for (std::size_t i = 0; i < values.size(); ++i) {
            const double x = static_cast<double>(i) / phases;
            const double part = std::min(1.0, x / half);
            const double window =
                std::cyl_bessel_i(0, beta * std::sqrt(1 - part * part)) / std::cyl_bessel_i(0, beta);
            values[i] = (i == 0 ? 1 : std::sin(pi * x) / (pi * x)) * window;
        }
        return values;
    }();
    const auto size = static_cast<std::ptrdiff_t>(samples.size());
    std::vector<double> result(
        static_cast<std::size_t>(static_cast<double>(samples.size()) * (1 + 1e-6 * ppm)));
    for (std::size_t n = 0; n < result.size(); ++n) {
        const double at = static_cast<double>(n) / (1 + 1e-6 * ppm);
        const auto whole = static_cast<std::ptrdiff_t>(at);
        double sum = 0;
        for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, whole - half + 1);
             k <= std::min(size - 1, whole + half); ++k) {
            const double x = std::abs(at - static_cast<double>(k)) * phases;
            const auto i = static_cast<std::size_t>(x);
            const double part = x - static_cast<double>(i);
            sum += samples[static_cast<std::size_t>(k)] * (table[i] + part * (table[i + 1] - table[i]));
        }
        result[n] = sum;
    }
    return result;
}

double level(const Signal& signal, double from_s, double to_s) {
    const auto from = static_cast<std::size_t>(from_s * signal.rate_hz);
    const auto to = std::min(signal.size(), static_cast<std::size_t>(to_s * signal.rate_hz));
    double sum = 0;
    for (std::size_t n = from; n < to; ++n)
        sum += signal.samples[n] * signal.samples[n];
    return std::sqrt(sum / static_cast<double>(to - from));
}

void add_noise(std::vector<double>& samples, double deviation, Dice& dice) {
    for (double& sample : samples)
        sample += deviation * dice.normal();
}

std::vector<double> noise_burst(double hz, double seconds, double deviation, double rate_hz, Dice& dice) {
    // A carrier of slowly changing amplitude and phase: two low-pass noises on sine and cosine.
    const auto length = static_cast<std::size_t>(seconds * rate_hz);
    const double keep = std::exp(-2 * pi * hz * 0.09 / rate_hz);
    double real = dice.normal(), imaginary = dice.normal();
    std::vector<double> burst(length);
    double sum = 0;
    for (std::size_t n = 0; n < length; ++n) {
        const double feed = std::sqrt(1 - keep * keep);
        real = keep * real + feed * dice.normal();
        imaginary = keep * imaginary + feed * dice.normal();
        const double turn = 2 * pi * hz * static_cast<double>(n) / rate_hz;
        const double part = (static_cast<double>(n) + 0.5) / static_cast<double>(length);
        const double edge = std::min({1.0, part / 0.1, (1 - part) / 0.1});
        burst[n] = 0.5 * (1 - std::cos(pi * edge)) * (real * std::cos(turn) + imaginary * std::sin(turn));
        sum += burst[n] * burst[n];
    }
    const double scale = deviation / std::sqrt(sum / static_cast<double>(length));
    for (double& x : burst)
        x *= scale;
    return burst;
}

} // namespace ebbmark::bench
