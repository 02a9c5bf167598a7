// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/low_rate.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {
constexpr double fade_from = 1.15, fade_to = 1.6;
}

double least_rate_hz(double to_hz) {
    return 2 * fade_to * to_hz;
}

Signal at_low_rate(std::span<const double> samples, double rate_hz, double to_hz, double samples_per_period) {
    RealFft whole(fast_fft_size(samples.size() + frames(0.1, rate_hz))); // zeros, so that the ends don't meet
    auto spectrum = whole.forward(samples);
    const double duration = static_cast<double>(whole.size()) / rate_hz;
    RealFft low(fast_fft_size(static_cast<std::size_t>(duration * samples_per_period * to_hz)));
    const double low_rate_hz = static_cast<double>(low.size()) / duration;
    spectrum.resize(low.bins());
    const double gain = low_rate_hz / rate_hz;
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) / duration / to_hz;
        const double fade = std::clamp((hz - fade_from) / (fade_to - fade_from), 0.0, 1.0);
        spectrum[k] *= gain * (0.5 + 0.5 * std::cos(std::numbers::pi * fade));
    }
    Signal made{low.inverse(spectrum), low_rate_hz};
    made.samples.resize(static_cast<std::size_t>(static_cast<double>(samples.size()) * gain));
    return made;
}

} // namespace ebbmark
