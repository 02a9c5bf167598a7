// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/band_filter.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// Where the upper skirt is led to zero, as multiples of the mid-band frequency. The skirt is 44 dB down at
// the start for octaves and 57 dB for thirds, so that only attenuation which the standard wants anyway is
// added, and low bands can be transformed back at a small size.
struct Taper {
    double from, to;
};

Taper taper_of(const Band& band) {
    return band.width == BandWidth::octave ? Taper{4.0, 6.0} : Taper{2.5, 3.5};
}

// Times of the ringing to −100 dB (measured: 7 / B for three pole pairs), with a margin.
constexpr double ringing_bandwidth_times = 8;

// Grid of the envelope: fine enough for the limits of clarity at 50 and 80 ms even in the lowest bands.
constexpr double least_envelope_rate_hz = 1500;

// Low-pass frequency of the prototype: 0 at mid-band, ±1 at the edges.
double prototype_frequency(const Band& band, double hz) {
    return (hz / band.exact_hz - band.exact_hz / hz) * band.exact_hz / band.bandwidth_hz();
}

double taper_gain(const Band& band, double hz) {
    const Taper taper = taper_of(band);
    const double place = std::clamp((hz / band.exact_hz - taper.from) / (taper.to - taper.from), 0.0, 1.0);
    return 1 - place * place * (3 - 2 * place);
}

// Group delay of the third-order low-pass prototype, in radians per unit of its frequency.
double prototype_delay(double w2) {
    return 1 / (1 + w2) + (1 + w2) / (1 - w2 + w2 * w2);
}

} // namespace

Complex band_filter_response(const Band& band, double hz) {
    if (!(hz > 0))
        return 0;
    // Third-order Butterworth low-pass 1 / ((1 + jw)(1 + jw − w²)), written with a real denominator.
    const double w = prototype_frequency(band, hz);
    const double w2 = w * w;
    const double scale = taper_gain(band, hz) / (1 + w2 * w2 * w2);
    return {(1 - 2 * w2) * scale, (w2 - 2) * w * scale};
}

double band_filter_group_delay_s(const Band& band, double hz) {
    if (!(hz > 0))
        return 0;
    const double w2 = std::pow(prototype_frequency(band, hz), 2);
    const double stretch = (1 + std::pow(band.exact_hz / hz, 2)) / band.bandwidth_hz();
    return prototype_delay(w2) * stretch / (2 * std::numbers::pi);
}

double band_filter_decay_s(const Band& band) {
    // T20 · B of the response played backwards, measured with the filters of this file.
    return (band.width == BandWidth::octave ? 1.7 : 1.3) / band.bandwidth_hz();
}

BandFilterBank::BandFilterBank(const Signal& response, double narrowest_hz)
    : rate_hz_(response.rate_hz),
      lead_(static_cast<std::size_t>(std::ceil(ringing_bandwidth_times / narrowest_hz * response.rate_hz))),
      forward_size_(fast_fft_size(response.size() + lead_)), forward_(forward_size_),
      spectrum_(forward_.spectrum_of(response.samples)), inverse_(fast_fft_size(spectrum_.size())) {
    envelope_.energy.reserve(fast_fft_size(spectrum_.size()));
}

std::size_t BandFilterBank::inverse_size(const Band& band) const {
    const auto size = static_cast<double>(forward_size_);
    const double bin_hz = rate_hz_ / size;
    const double highest_hz = std::min(rate_hz_ / 2, band.exact_hz * taper_of(band).to);
    const double rate_hz = std::max(highest_hz, std::min(least_envelope_rate_hz, rate_hz_ / 2));
    const auto needed = static_cast<std::size_t>(rate_hz / bin_hz) + 1;
    // Halves of the largest, so that all bands share a few plans: making one costs more than using it.
    std::size_t bins = forward_size_ / 2 + 1;
    while (bins / 2 >= needed)
        bins /= 2;
    return fast_fft_size(bins);
}

std::size_t BandFilterBank::fill(const Band& band, std::span<Complex> bins) const {
    const double bin_ratio = rate_hz_ / static_cast<double>(forward_size_) / band.exact_hz;
    const auto bin_at = [&](double ratio) { return static_cast<std::size_t>(ratio / bin_ratio) + 1; };
    const auto used = std::min({bins.size(), spectrum_.size(), bin_at(taper_of(band).to)});
    // One-sided spectrum, twice as strong; the inverse transform is unscaled.
    const double scale = 2 / static_cast<double>(forward_size_);
    const double s = band.exact_hz / band.bandwidth_hz(), s2 = s * s;
    bins[0] = 0;
    // Plain numbers and a short index, for which the compiler finds vector instructions.
    const double* const from = reinterpret_cast<const double*>(spectrum_.data());
    double* const to = reinterpret_cast<double*>(bins.data());
    const int count = static_cast<int>(used);
    for (int k = 1; k < count; ++k) {
        // The conjugate of band_filter_response, which runs backwards in time, with numerator and
        // denominator times r⁶ for the ratio r to mid-band: one division instead of four.
        const double r = k * bin_ratio, r2 = r * r, r4 = r2 * r2;
        const double q = r2 - 1, v2 = s2 * q * q;
        const double gain = scale / (r4 * r2 + v2 * v2 * v2);
        const double real = (r2 - 2 * v2) * r4 * gain, imaginary = (2 * r2 - v2) * s * q * r * r2 * gain;
        const double x = from[2 * k], y = from[2 * k + 1];
        to[2 * k] = x * real - y * imaginary;
        to[2 * k + 1] = x * imaginary + y * real;
    }
    for (std::size_t k = std::min(used, bin_at(taper_of(band).from)); k < used; ++k)
        bins[k] *= taper_gain(band, static_cast<double>(k) * bin_ratio * band.exact_hz);
    std::fill(bins.begin() + static_cast<std::ptrdiff_t>(used), bins.end(), Complex(0));
    return used;
}

double BandFilterBank::mean_group_delay_s(const Band& band, std::span<const Complex> bins,
                                          std::size_t used) const {
    // Beyond twice the half bandwidth the filter lets less than 2 % of the energy through.
    const double bin_hz = rate_hz_ / static_cast<double>(forward_size_);
    const auto from = static_cast<std::size_t>(std::max(1.0, band.lower_hz / 1.5 / bin_hz));
    const auto to = std::min(used, static_cast<std::size_t>(band.upper_hz * 1.5 / bin_hz) + 1);
    // A few thousand lines give the mean to 1 % and spare the rest of the work.
    const std::size_t stride = std::max<std::size_t>(1, (to - std::min(from, to)) / 4000);
    double energy = 0, delayed = 0;
    for (std::size_t k = from; k < to; k += stride) {
        const double power = std::norm(bins[k]);
        energy += power;
        delayed += power * band_filter_group_delay_s(band, static_cast<double>(k) * bin_hz);
    }
    return energy > 0 ? delayed / energy : 0;
}

BandFilterBank::Grid BandFilterBank::grid(std::size_t size) const {
    const double step_s = static_cast<double>(forward_size_) / rate_hz_ / static_cast<double>(size);
    const double wrapped = static_cast<double>(lead_) / rate_hz_ / step_s;
    return {step_s, std::min(size, static_cast<std::size_t>(wrapped))};
}

AnalyticBand BandFilterBank::analytic(const Band& band) {
    const std::size_t size = inverse_size(band);
    fill(band, inverse_.spectrum(size));
    const auto samples = inverse_.transform(size);
    return {{samples.begin(), samples.end()}, grid(size).wrapped, grid(size).step_s};
}

const BandEnvelope& BandFilterBank::envelope(const Band& band) {
    const std::size_t size = inverse_size(band);
    const auto bins = inverse_.spectrum(size);
    const std::size_t used = fill(band, bins);
    const auto [step_s, wrapped] = grid(size);
    BandEnvelope& envelope = envelope_;
    envelope.step_s = step_s;
    envelope.start_s = -static_cast<double>(wrapped) * step_s;
    envelope.group_delay_s = mean_group_delay_s(band, bins, used);
    const auto samples = inverse_.transform(size);
    envelope.energy.resize(size);
    for (std::size_t n = 0; n < wrapped; ++n)
        envelope.energy[n] = std::norm(samples[size - wrapped + n]) / 2;
    for (std::size_t n = wrapped; n < size; ++n)
        envelope.energy[n] = std::norm(samples[n - wrapped]) / 2;
    return envelope;
}

} // namespace ebbmark
