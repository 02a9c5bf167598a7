// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/compression.hpp"

#include "base/normal.hpp"
#include "base/order_statistics.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// How far below the excitation's own level the divisor is held up. Inside the band the loss is 1e-10, far
// below the noise of any recording; outside, where the sweep has little, the result must not divide noise by
// nothing.
constexpr double floor_inside = 1e-10;
constexpr double floor_outside = 0.01;
// Widths of the fade in octaves. At the upper end the sweep's spectrum stops within some hundred hertz; at
// the lower end a steeper fade would ring longer than the time kept before the direct sound.
constexpr double fade_below_octaves = 1.0 / 3;
constexpr double fade_above_octaves = 1.0 / 96;

constexpr std::size_t scatter_samples = 1 << 16; // enough for the median within 1 %

} // namespace

double band_weight(double hz, double from_hz, double to_hz) {
    if (hz >= from_hz && hz <= to_hz)
        return 1;
    const double outside = hz < from_hz ? std::log2(from_hz / hz) / fade_below_octaves
                                        : std::log2(hz / to_hz) / fade_above_octaves;
    return outside >= 1 ? 0 : 0.5 * (1 + std::cos(std::numbers::pi * outside));
}

Compressor::Compressor(const Excitation& excitation, std::size_t longest_recording)
    : fft_(fast_fft_size(longest_recording + excitation.sweep.size())) {
    // Room for both ends: nothing of the recording wraps round into the responses or their harmonics.
    divisor_ = fft_.forward(excitation.sweep.samples);
    const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft_.size());
    const double level = level_per_octave(divisor_, hz_per_bin, excitation.from_hz, excitation.to_hz);
    for (std::size_t k = 0; k < divisor_.size(); ++k) {
        const double hz = static_cast<double>(k) * hz_per_bin;
        const double weight = k == 0 ? 0 : band_weight(hz, excitation.from_hz, excitation.to_hz);
        if (weight == 0) {
            divisor_[k] = 0;
            continue;
        }
        const double floor = level / hz * (floor_inside + (1 - weight) * floor_outside);
        divisor_[k] = std::conj(divisor_[k]) * (weight / (std::norm(divisor_[k]) + floor));
    }
}

std::vector<double> Compressor::operator()(std::span<const double> recording) {
    auto spectrum = fft_.forward(recording);
    for (std::size_t k = 0; k < spectrum.size(); ++k)
        spectrum[k] *= divisor_[k];
    return fft_.inverse(spectrum);
}

std::vector<double> cut(std::span<const double> circle, std::ptrdiff_t first, std::size_t count) {
    const auto size = static_cast<std::ptrdiff_t>(circle.size());
    std::ptrdiff_t at = (first % size + size) % size;
    std::vector<double> piece(count);
    for (double& sample : piece) {
        sample = circle[static_cast<std::size_t>(at)];
        at = at + 1 == size ? 0 : at + 1;
    }
    return piece;
}

double scatter(std::span<const double> samples) {
    if (samples.empty())
        return 0;
    const std::size_t stride = samples.size() / scatter_samples + 1;
    std::vector<double> magnitudes;
    for (std::size_t n = 0; n < samples.size(); n += stride)
        magnitudes.push_back(std::abs(samples[n]));
    return upper_median(std::move(magnitudes)) / normal_median_magnitude;
}

} // namespace ebbmark
