// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/direct_sound.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double kept_s = 0.003, before_s = 0.0005;
// Bandwidth times time is 1 and more from here on, and most loudspeakers reach up to there.
constexpr double from_hz = 1600, to_hz = 8000;
constexpr double least_rate_hz = 20000;

} // namespace

std::vector<Band> direct_sound_bands() {
    return bands_between(BandWidth::third, from_hz, to_hz);
}

std::vector<double> direct_sound_levels_db(const Signal& response) {
    const auto& h = response.samples;
    const double rate_hz = response.rate_hz;
    if (rate_hz < least_rate_hz || energy(h) == 0)
        return {};
    const std::size_t best = strongest(h), back = std::min(best, frames(0.05, rate_hz));
    std::size_t first = best - back;
    while (first < best && std::abs(h[first]) < 0.25 * std::abs(h[best]))
        ++first;
    const std::size_t start = first - std::min(first, frames(before_s, rate_hz));
    std::vector<double> piece(std::min(frames(before_s + kept_s, rate_hz), h.size() - start));
    for (std::size_t n = 0; n < piece.size(); ++n)
        piece[n] =
            h[start + n] * 0.5 *
            (1 + std::cos(std::numbers::pi * static_cast<double>(n) / static_cast<double>(piece.size())));
    RealFft fft(fast_fft_size(frames(0.1, rate_hz)));
    const auto spectrum = fft.forward(piece);
    const double hz_per_bin = rate_hz / static_cast<double>(fft.size());
    std::vector<double> levels;
    double mean = 0;
    for (const Band& band : direct_sound_bands()) {
        double sum = 0;
        for (std::size_t k = 0; k < spectrum.size(); ++k)
            if (const double hz = static_cast<double>(k) * hz_per_bin;
                hz >= band.lower_hz && hz < band.upper_hz)
                sum += std::norm(spectrum[k]);
        levels.push_back(10 * std::log10(std::max(sum, 1e-300)));
        mean += levels.back();
    }
    for (double& level : levels)
        level -= mean / static_cast<double>(levels.size());
    return levels;
}

} // namespace ebbmark
