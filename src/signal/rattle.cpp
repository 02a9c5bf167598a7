// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/rattle.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace ebbmark {

namespace {

constexpr double least_order = 3; // below it a harmonic is nothing to be taken for another sound
// What the room gives back is older than the tone of the moment, and its period longer by these parts: 50 ms
// in a sweep of 1 s per octave are 0.035. Octaves with little of the sound do not count.
constexpr double earliest = -0.002, latest = 0.035, step = 0.001, least_part = 0.1;

double constant_s(const Excitation& excitation) {
    return excitation.harmonic_lead_s / std::numbers::ln2;
}

/// When, after the sweep's start, its phase is one turn further.
double one_period_later_s(const Excitation& excitation, double after_s) {
    const double constant = constant_s(excitation);
    return constant * std::log(std::exp(after_s / constant) + 1 / (excitation.from_hz * constant));
}

/// Of the piece of the recording that starts at `first`, what lies in the band; zero outside the recording.
std::vector<double> within(std::span<const double> recording, std::ptrdiff_t first, std::size_t count,
                           double from_hz, double to_hz, double rate_hz) {
    std::vector<double> piece(count);
    for (std::size_t n = 0; n < count; ++n) {
        const auto at = first + static_cast<std::ptrdiff_t>(n);
        if (at >= 0 && at < static_cast<std::ptrdiff_t>(recording.size()))
            piece[n] = recording[static_cast<std::size_t>(at)];
    }
    RealFft fft(fast_fft_size(2 * count));
    auto spectrum = fft.forward(piece);
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(fft.size());
        if (hz < from_hz || hz > to_hz)
            spectrum[k] = 0;
    }
    auto result = fft.inverse(spectrum);
    result.resize(count);
    return result;
}

/// Correlation of a sound with itself one period later, the period longer by the part `late`. Its first
/// sample lies `first` samples after the sweep's start.
double likeness_at(std::span<const double> sound, std::size_t asked, double first, double late,
                   const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    double both = 0, here = 0, there = 0;
    for (std::size_t n = 0; n < asked; ++n) {
        const double after_s = (first + static_cast<double>(n)) / rate_hz;
        if (after_s < 0)
            continue;
        const double period_s = (1 + late) * (one_period_later_s(excitation, after_s) - after_s);
        const double at = static_cast<double>(n) + period_s * rate_hz;
        const auto whole = static_cast<std::size_t>(at);
        if (whole + 1 >= sound.size())
            break;
        const double part = at - static_cast<double>(whole);
        const double later = sound[whole] + part * (sound[whole + 1] - sound[whole]);
        both += sound[n] * later;
        here += sound[n] * sound[n];
        there += later * later;
    }
    return here > 0 && there > 0 ? both / std::sqrt(here * there) : 0;
}

} // namespace

double played_hz(const Excitation& excitation, double after_s) {
    return excitation.from_hz * std::exp(after_s / constant_s(excitation));
}

double likeness_after_period(std::span<const double> recording, double start, const Disturbance& disturbance,
                             const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const double from_s = std::max(0.0, disturbance.from_s - start / rate_hz);
    const double to_s = std::min(disturbance.to_s - start / rate_hz, excitation.sweep.duration_s());
    const double low_hz = std::max(disturbance.from_hz, least_order * played_hz(excitation, to_s));
    if (to_s <= from_s || low_hz >= disturbance.to_hz)
        return 0;
    const auto first = static_cast<std::ptrdiff_t>(std::floor(start + from_s * rate_hz));
    const std::size_t asked = frames(to_s - from_s, rate_hz);
    const std::size_t beyond =
        frames((1 + latest) * (one_period_later_s(excitation, to_s) - to_s), rate_hz) + 2;
    const auto all = within(recording, first, asked + beyond, low_hz, disturbance.to_hz, rate_hz);
    double best = 0;
    for (double hz = low_hz; hz < disturbance.to_hz; hz *= 2) {
        const auto sound =
            within(recording, first, asked + beyond, hz, std::min(2 * hz, disturbance.to_hz), rate_hz);
        if (energy(sound) < least_part * energy(all))
            continue;
        for (double late = earliest; late <= latest; late += step)
            best = std::max(best,
                            likeness_at(sound, asked, static_cast<double>(first) - start, late, excitation));
    }
    return best;
}

} // namespace ebbmark
