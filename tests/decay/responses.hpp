// SPDX-License-Identifier: GPL-3.0-or-later
// Responses whose decay is known, for tests and for the scenario program.
#pragma once

#include "base/signal.hpp"

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace ebbmark::tests {

/// Gaussian numbers that are the same on every platform.
class Gaussian {
  public:
    explicit Gaussian(std::uint64_t start) : engine_(start) {}
    double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) / 9007199254740992.0; }
    double operator()() {
        if (kept_) {
            kept_ = false;
            return other_;
        }
        const double radius = std::sqrt(-2 * std::log(uniform()));
        const double angle = 2 * std::numbers::pi * uniform();
        other_ = radius * std::sin(angle);
        kept_ = true;
        return radius * std::cos(angle);
    }

  private:
    std::mt19937_64 engine_;
    double other_ = 0;
    bool kept_ = false;
};

inline Signal silence(double seconds, double rate_hz) {
    return {std::vector<double>(static_cast<std::size_t>(std::lround(seconds * rate_hz))), rate_hz};
}

/// a exp(−6.91 t / T) sin(2π f t + phase) from `onset_s` on.
inline void add_damped_sine(Signal& signal, double onset_s, double hz, double decay_s, double amplitude = 1,
                            double phase = 0) {
    const double rate = 3 * std::log(10.0) / decay_s;
    for (auto n = static_cast<std::size_t>(std::lround(onset_s * signal.rate_hz)); n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / signal.rate_hz - onset_s;
        signal.samples[n] +=
            amplitude * std::exp(-rate * t) * std::sin(2 * std::numbers::pi * hz * t + phase);
    }
}

/// White Gaussian noise under an exponential decay from `onset_s` on.
inline void add_decaying_noise(Signal& signal, double onset_s, double decay_s, Gaussian& gaussian,
                               double amplitude = 1) {
    const double rate = 3 * std::log(10.0) / decay_s;
    for (auto n = static_cast<std::size_t>(std::lround(onset_s * signal.rate_hz)); n < signal.size(); ++n)
        signal.samples[n] +=
            amplitude * std::exp(-rate * (static_cast<double>(n) / signal.rate_hz - onset_s)) * gaussian();
}

inline void add_noise(Signal& signal, double amplitude, Gaussian& gaussian) {
    for (double& sample : signal.samples)
        sample += amplitude * gaussian();
}

} // namespace ebbmark::tests
