// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/onset.hpp"

#include "base/order_statistics.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace ebbmark {

namespace {

constexpr double window_s = 0.001;  ///< short against the first reflections, long enough to average noise
constexpr double gap_s = 0.02;      ///< direct sound to the strongest reflection in a small room: 7 m of path
constexpr double below_peak = 0.01; ///< −20 dB, ISO 3382-1

/// Energy of each window, hop of one window.
std::vector<double> window_energies(const std::vector<double>& samples, std::size_t length) {
    std::vector<double> energies(samples.size() / length + 1);
    for (std::size_t window = 0; window < energies.size(); ++window) {
        const std::size_t to = std::min(samples.size(), (window + 1) * length);
        double sum = 0;
        for (std::size_t n = window * length; n < to; ++n)
            sum += samples[n] * samples[n];
        energies[window] = sum;
    }
    return energies;
}

std::vector<double> differences(const std::vector<double>& samples) {
    std::vector<double> result(samples.size());
    for (std::size_t n = 1; n < samples.size(); ++n)
        result[n] = samples[n] - samples[n - 1];
    return result;
}

/// Mean energy in the 20 ms after a place over that in the 20 ms before it; nothing without a full stretch
/// before.
std::optional<double> rise_at(const std::vector<double>& energies, std::size_t window) {
    const auto stretch = static_cast<std::size_t>(0.02 / window_s);
    if (window < stretch)
        return std::nullopt;
    const std::size_t from = window - stretch;
    const std::size_t to = std::min(energies.size(), window + stretch);
    double before = 0, after = 0;
    for (std::size_t n = from; n < to; ++n)
        (n < window ? before : after) += energies[n];
    if (!(before > 0))
        return std::nullopt;
    return after / before;
}

double onset_of(const std::vector<double>& samples, const std::vector<double>& energies, std::size_t length,
                double rate_hz) {
    const auto peak =
        static_cast<std::size_t>(std::max_element(energies.begin(), energies.end()) - energies.begin());
    if (!(energies[peak] > 0))
        return 0;
    // The quieter half of all windows is noise, or a decay far below the peak; its upper quartile times 6
    // lies above what windows of noise reach by chance.
    const double noise = 6 * lower_median(energies);
    const double threshold = std::max(below_peak * energies[peak], std::min(noise, 0.25 * energies[peak]));
    const auto gap = static_cast<std::size_t>(gap_s / window_s);
    std::size_t first = peak;
    for (std::size_t at = peak; at-- > 0 && first - at <= gap;)
        if (energies[at] > threshold)
            first = at;
    // Within the window (and the one before, whose end may hold the rise) the first sample that reaches
    // −20 dB of the strongest one there and stands out of the noise.
    const std::size_t from = first > 0 ? (first - 1) * length : 0;
    const std::size_t to = std::min(samples.size(), (first + 1) * length);
    double strongest = 0;
    for (std::size_t n = from; n < to; ++n)
        strongest = std::max(strongest, samples[n] * samples[n]);
    const double noise_sample = 2 * noise / static_cast<double>(length);
    const double rise = std::min(0.5 * strongest, std::max(below_peak * strongest, noise_sample));
    for (std::size_t n = from; n < to; ++n)
        if (samples[n] * samples[n] >= rise)
            return static_cast<double>(n) / rate_hz;
    return static_cast<double>(from) / rate_hz;
}

} // namespace

double find_onset_s(const Signal& response) {
    const auto length = std::max<std::size_t>(1, static_cast<std::size_t>(window_s * response.rate_hz));
    const auto energies = window_energies(response.samples, length);
    // Rumble hides the onset in the waveform but not in its differences, which weigh frequencies by
    // themselves. Where they find a clearly steeper rise, it is taken.
    const auto steps = differences(response.samples);
    const auto step_energies = window_energies(steps, length);
    const double plain_s = onset_of(response.samples, energies, length, response.rate_hz);
    const double stepped_s = onset_of(steps, step_energies, length, response.rate_hz);
    const auto window = [&](double onset_s) {
        return static_cast<std::size_t>(onset_s * response.rate_hz) / length;
    };
    const auto plain_rise = rise_at(energies, window(plain_s));
    const auto stepped_rise = rise_at(step_energies, window(stepped_s));
    return plain_rise && stepped_rise && *stepped_rise > 2 * *plain_rise ? stepped_s : plain_s;
}

} // namespace ebbmark
