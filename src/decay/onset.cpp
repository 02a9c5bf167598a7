// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/onset.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace ebbmark {

namespace {

constexpr double window_s = 0.001;  ///< short against the first reflections, long enough to average noise
constexpr double gap_s = 0.02;      ///< direct sound to the strongest reflection in a small room: 7 m of path
constexpr double below_peak = 0.01; ///< −20 dB, ISO 3382-1

/// Energy of each window, hop of one window.
std::vector<double> window_energies(const Signal& response, std::size_t length) {
    std::vector<double> energies(response.size() / length + 1);
    for (std::size_t n = 0; n < response.size(); ++n)
        energies[n / length] += response.samples[n] * response.samples[n];
    return energies;
}

double quantile(std::vector<double> values, double part) {
    const auto place = static_cast<std::ptrdiff_t>(part * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + place, values.end());
    return values[static_cast<std::size_t>(place)];
}

} // namespace

double find_onset_s(const Signal& response) {
    const auto length = std::max<std::size_t>(1, static_cast<std::size_t>(window_s * response.rate_hz));
    const auto energies = window_energies(response, length);
    const auto peak =
        static_cast<std::size_t>(std::max_element(energies.begin(), energies.end()) - energies.begin());
    if (!(energies[peak] > 0))
        return 0;
    // The quieter half of all windows is noise, or a decay far below the peak; its upper quartile times 6
    // lies above what windows of noise reach by chance.
    const double noise = 6 * quantile(energies, 0.5);
    const double threshold = std::max(below_peak * energies[peak], std::min(noise, 0.25 * energies[peak]));
    const auto gap = static_cast<std::size_t>(gap_s / window_s);
    std::size_t first = peak;
    for (std::size_t at = peak; at-- > 0 && first - at <= gap;)
        if (energies[at] > threshold)
            first = at;
    // Within the window (and the one before, whose end may hold the rise) the first sample that reaches
    // −20 dB of the strongest one there and stands out of the noise.
    const std::size_t from = first > 0 ? (first - 1) * length : 0;
    const std::size_t to = std::min(response.size(), (first + 1) * length);
    double strongest = 0;
    for (std::size_t n = from; n < to; ++n)
        strongest = std::max(strongest, response.samples[n] * response.samples[n]);
    const double noise_sample = 2 * noise / static_cast<double>(length);
    const double rise = std::min(0.5 * strongest, std::max(below_peak * strongest, noise_sample));
    for (std::size_t n = from; n < to; ++n)
        if (response.samples[n] * response.samples[n] >= rise)
            return static_cast<double>(n) / response.rate_hz;
    return static_cast<double>(from) / response.rate_hz;
}

} // namespace ebbmark
