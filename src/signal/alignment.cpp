// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/alignment.hpp"

#include "signal/drift.hpp"
#include "signal/fft.hpp"
#include "signal/resampling.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;

// Bounds of the stretches of time whose lags are compared, from the direct sound on; each twice as far out as
// the last, so that the lag foreseen for the next is within half a period.
constexpr std::array<double, 7> bounds_s{-0.003, 0.005, 0.01, 0.025, 0.06, 0.12, 0.25};
constexpr double least_likeness = 0.5;
constexpr double least_over_error = 4;          // a stretch that counts
constexpr double finest_lag_samples = 1e-4;     // of the method itself
constexpr double negligible_lag_samples = 1e-5; // an error of −90 dB at the highest frequency

/// Lag of one stretch of time.
struct Lag {
    double time_s = 0; ///< centre of its energy
    double samples = 0;
    double variance = 0;
    bool sure = false;
};

std::vector<double> windowed(std::span<const double> response, std::ptrdiff_t from, std::ptrdiff_t to) {
    std::vector<double> piece;
    for (auto n = std::max<std::ptrdiff_t>(0, from);
         n < std::min(to, static_cast<std::ptrdiff_t>(response.size())); ++n) {
        const double part = (static_cast<double>(n - from) + 0.5) / static_cast<double>(to - from);
        const double edge = std::min({1.0, part / 0.2, (1 - part) / 0.2});
        piece.push_back(0.5 * (1 - std::cos(pi * edge)) * response[static_cast<std::size_t>(n)]);
    }
    return piece;
}

double centre(std::span<const double> piece) {
    double top = 0, bottom = 1e-300;
    for (std::size_t n = 0; n < piece.size(); ++n) {
        top += static_cast<double>(n) * piece[n] * piece[n];
        bottom += piece[n] * piece[n];
    }
    return top / bottom;
}

/// Slope of the cross spectrum's phase weighted by its magnitude, from a foreseen lag on.
Lag lag_of(std::span<const double> earlier, std::span<const double> later, double foreseen,
           const Excitation& excitation) {
    RealFft fft(fast_fft_size(2 * earlier.size()));
    const auto a = fft.forward(earlier), b = fft.forward(later);
    const auto size = static_cast<double>(fft.size());
    const double hz_per_bin = excitation.sweep.rate_hz / size;
    const auto first = static_cast<std::size_t>(std::ceil(excitation.from_hz / hz_per_bin));
    const auto last = std::min(a.size(), static_cast<std::size_t>(excitation.to_hz / hz_per_bin));
    Lag lag{0, foreseen, 0, false};
    for (int pass = 0; pass < 3; ++pass) {
        double top = 0, bottom = 1e-300, sum = 0, alike = 0, energy_a = 0, energy_b = 0;
        for (std::size_t k = std::max<std::size_t>(1, first); k < last; ++k) {
            const double turn = 2 * pi * static_cast<double>(k) / size;
            const Complex left = b[k] * std::conj(a[k]) * std::polar(1.0, turn * lag.samples);
            top -= turn * left.imag();
            bottom += turn * turn * std::abs(left);
            sum += std::abs(left);
            alike += left.real();
            energy_a += std::norm(a[k]);
            energy_b += std::norm(b[k]);
        }
        const double likeness = alike / std::sqrt(std::max(energy_a * energy_b, 1e-300));
        lag.samples += top / bottom;
        lag.sure = likeness > least_likeness;
        // Each bin's phase is unsure by what is unlike over its own energy; padding makes two bins of one.
        const double bins = 0.5 * static_cast<double>(last - first);
        lag.variance = std::max(0.0, 1 - likeness * likeness) * sum / std::max(1.0, bins) / bottom * 0.5;
    }
    return lag;
}

/// Least squares of the lags over time.
struct Line {
    double at_start = 0, slope = 0, slope_error = 0;
};

Line fitted(const std::vector<Lag>& lags) {
    double w = 0, t = 0, tt = 0, y = 0, ty = 0;
    for (const Lag& lag : lags) {
        const double weight = 1 / (lag.variance + finest_lag_samples * finest_lag_samples);
        w += weight;
        t += weight * lag.time_s;
        tt += weight * lag.time_s * lag.time_s;
        y += weight * lag.samples;
        ty += weight * lag.time_s * lag.samples;
    }
    const double determinant = w * tt - t * t;
    if (!(determinant > 0))
        return {y / w, 0, 0};
    const double slope = (w * ty - t * y) / determinant;
    return {(y - slope * t) / w, slope, std::sqrt(w / determinant)};
}

/// The stretch as far as it can be seen within pieces in which it is not constant.
Alignment aligned_once(std::span<const double> earlier, std::span<const double> later, std::size_t arrival,
                       const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const Alignment whole{lag_samples(earlier, later, excitation), 0};
    std::vector<Lag> lags;
    Line line{whole.lag_samples, 0, 0};
    for (std::size_t n = 0; n + 1 < bounds_s.size(); ++n) {
        const auto from = static_cast<std::ptrdiff_t>(arrival) + std::llround(bounds_s[n] * rate_hz);
        const auto to = static_cast<std::ptrdiff_t>(arrival) + std::llround(bounds_s[n + 1] * rate_hz);
        const auto own = windowed(earlier, from, to);
        if (own.empty())
            break;
        const double time_s = bounds_s[n] + centre(own) / rate_hz;
        Lag lag = lag_of(own, windowed(later, from, to), line.at_start + line.slope * time_s, excitation);
        lag.time_s = time_s;
        if (!lag.sure)
            break;
        lags.push_back(lag);
        line = fitted(lags);
    }
    if (lags.size() < 3 || std::abs(line.slope) < least_over_error * line.slope_error)
        return whole;
    return {line.at_start, line.slope / rate_hz};
}

} // namespace

Alignment align(std::span<const double> earlier, std::span<const double> later, std::size_t arrival,
                const Excitation& excitation) {
    const Alignment seen = aligned_once(earlier, later, arrival, excitation);
    if (seen.stretch == 0)
        return seen;
    const Alignment left = aligned_once(earlier, aligned(later, arrival, seen), arrival, excitation);
    return {seen.lag_samples + left.lag_samples, seen.stretch + left.stretch};
}

std::vector<double> aligned(std::span<const double> response, std::size_t arrival, const Alignment& lag) {
    const double step = 1 + lag.stretch;
    auto moved =
        lag.stretch == 0 ? std::vector<double>(response.begin(), response.end()) : resampled(response, step);
    moved.resize(response.size());
    // Resampling has moved the direct sound, too.
    const double later = lag.lag_samples / step + static_cast<double>(arrival) * (1 / step - 1);
    if (std::abs(later) <= negligible_lag_samples)
        return moved;
    RealFft fft(fast_fft_size(moved.size() + 1024)); // what wraps round is small and far
    auto spectrum = fft.forward(moved);
    const double turn = 2 * pi * later / static_cast<double>(fft.size());
    for (std::size_t k = 0; k + 1 < spectrum.size(); ++k)
        spectrum[k] *= std::polar(1.0, turn * static_cast<double>(k));
    moved = fft.inverse(spectrum);
    moved.resize(response.size());
    return moved;
}

} // namespace ebbmark
