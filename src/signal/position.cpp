// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/fft.hpp"
#include "signal/recording.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// Early enough for traps to change little, long enough for floor, ceiling and the nearest walls to tell a
// place.
constexpr double judged_s = 0.025, before_s = 0.002;
constexpr double from_hz = 200, to_hz = 4000;
// Another position has to be clearly more alike: repeated measurements of one place differ by a few
// hundredths.
constexpr double clearly = 0.1;

std::vector<double> early(const Signal& response) {
    const std::size_t best = strongest(response.samples), before = frames(before_s, response.rate_hz);
    const std::size_t back = std::min(best, frames(0.05, response.rate_hz));
    std::size_t first = best - back;
    while (first < best && std::abs(response.samples[first]) < 0.25 * std::abs(response.samples[best]))
        ++first;
    std::vector<double> piece(frames(judged_s, response.rate_hz));
    for (std::size_t n = 0; n < piece.size() && first + n < response.size() + before; ++n)
        if (first + n >= before) {
            const double part = static_cast<double>(n) / static_cast<double>(piece.size());
            piece[n] = response.samples[first + n - before] * 0.5 * (1 + std::cos(std::numbers::pi * part));
        }
    return piece;
}

/// Highest of the normalised cross-correlation of the early parts within the judged band.
double likeness(const Signal& a, const Signal& b) {
    if (a.rate_hz != b.rate_hz)
        return 0;
    RealFft fft(fast_fft_size(2 * frames(judged_s, a.rate_hz)));
    const auto x = fft.forward(early(a));
    auto cross = fft.forward(early(b));
    double energy_a = 0, energy_b = 0;
    for (std::size_t k = 0; k < cross.size(); ++k) {
        const double hz = static_cast<double>(k) * a.rate_hz / static_cast<double>(fft.size());
        const bool judged = hz >= from_hz && hz <= to_hz;
        energy_a += judged ? std::norm(x[k]) : 0;
        energy_b += judged ? std::norm(cross[k]) : 0;
        cross[k] = judged ? cross[k] * std::conj(x[k]) : 0;
    }
    if (energy_a == 0 || energy_b == 0)
        return 0;
    const auto correlation = fft.inverse(cross);
    const double highest = std::abs(correlation[strongest(correlation)]);
    return highest * static_cast<double>(fft.size()) / 2 / std::sqrt(energy_a * energy_b);
}

} // namespace

std::optional<QualityCheck> position_check(const Signal& response, const std::vector<Signal>& earlier,
                                           std::size_t claimed) {
    if (claimed >= earlier.size())
        return {};
    const double own = likeness(response, earlier[claimed]);
    double other = 0;
    for (std::size_t n = 0; n < earlier.size(); ++n)
        if (n != claimed)
            other = std::max(other, likeness(response, earlier[n]));
    const bool held = own + clearly >= other;
    return QualityCheck{
        "position",
        own,
        other - clearly,
        "likeness",
        held,
        held ? ""
             : "this is more like another position of the earlier visit: check the position's name, and "
               "where loudspeaker and microphone stand"};
}

} // namespace ebbmark
