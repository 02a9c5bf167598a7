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
    const double place = (hz / band.exact_hz - taper.from) / (taper.to - taper.from);
    if (place <= 0)
        return 1;
    if (place >= 1)
        return 0;
    return 0.5 + 0.5 * std::cos(std::numbers::pi * place);
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
    const double low_pass = 1 / (1 + w2) + (1 + w2) / (1 - w2 + w2 * w2);
    const double stretch = (1 + std::pow(band.exact_hz / hz, 2)) / band.bandwidth_hz();
    return low_pass * stretch / (2 * std::numbers::pi);
}

double band_filter_decay_s(const Band& band) {
    // T20 · B of the response played backwards, measured with the filters of this file.
    return (band.width == BandWidth::octave ? 1.7 : 1.3) / band.bandwidth_hz();
}

BandFilterBank::BandFilterBank(const Signal& response, double narrowest_hz)
    : rate_hz_(response.rate_hz),
      lead_(static_cast<std::size_t>(std::ceil(ringing_bandwidth_times / narrowest_hz * response.rate_hz))) {
    forward_size_ = fast_fft_size(response.size() + lead_);
    spectrum_ = RealFft(forward_size_).forward(response.samples);
}

std::size_t BandFilterBank::inverse_size(const Band& band) const {
    const auto size = static_cast<double>(forward_size_);
    const double bin_hz = rate_hz_ / size;
    const double highest_hz = std::min(rate_hz_ / 2, band.exact_hz * taper_of(band).to);
    const double rate_hz = std::max(highest_hz, std::min(least_envelope_rate_hz, rate_hz_ / 2));
    return fast_fft_size(static_cast<std::size_t>(rate_hz / bin_hz) + 1);
}

AnalyticBand BandFilterBank::analytic(const Band& band) {
    const std::size_t size = inverse_size(band);
    ComplexInverseFft& inverse = inverse_.try_emplace(size, size).first->second;
    const auto bins = inverse.spectrum();
    const double bin_hz = rate_hz_ / static_cast<double>(forward_size_);
    const double highest_hz = band.exact_hz * taper_of(band).to;
    const auto used = std::min({size, spectrum_.size(), static_cast<std::size_t>(highest_hz / bin_hz) + 1});
    // One-sided spectrum, twice as strong, and the change of size.
    const double scale = 2 * static_cast<double>(size) / static_cast<double>(forward_size_);
    const double prototype_scale = band.exact_hz / band.bandwidth_hz();
    const double bin_ratio = bin_hz / band.exact_hz;
    const auto taper_start = std::min(used, static_cast<std::size_t>(taper_of(band).from / bin_ratio));
    double energy = 0, delayed = 0;
    bins[0] = 0;
    for (std::size_t k = 1; k < used; ++k) {
        const double ratio = static_cast<double>(k) * bin_ratio;
        const double w = (ratio - 1 / ratio) * prototype_scale;
        const double w2 = w * w;
        double gain = scale / (1 + w2 * w2 * w2);
        if (k >= taper_start)
            gain *= taper_gain(band, ratio * band.exact_hz);
        // The conjugate response runs backwards in time.
        const double real = (1 - 2 * w2) * gain, imaginary = (2 - w2) * w * gain;
        const Complex x = spectrum_[k];
        bins[k] = {x.real() * real - x.imag() * imaginary, x.real() * imaginary + x.imag() * real};
        const double power = std::norm(bins[k]);
        energy += power;
        delayed += power * (1 / (1 + w2) + (1 + w2) / (1 - w2 + w2 * w2)) * (1 + 1 / (ratio * ratio));
    }
    std::fill(bins.begin() + static_cast<std::ptrdiff_t>(used), bins.end(), Complex(0));
    const auto samples = inverse.transform();
    AnalyticBand result;
    result.samples.assign(samples.begin(), samples.end());
    result.step_s = static_cast<double>(forward_size_) / rate_hz_ / static_cast<double>(size);
    result.wrapped = static_cast<std::size_t>(static_cast<double>(lead_) / rate_hz_ / result.step_s);
    if (energy > 0)
        result.group_delay_s = delayed / energy / band.bandwidth_hz() / (2 * std::numbers::pi);
    return result;
}

BandEnvelope BandFilterBank::envelope(const Band& band) {
    const AnalyticBand filtered = analytic(band);
    BandEnvelope envelope;
    envelope.step_s = filtered.step_s;
    envelope.start_s = -static_cast<double>(filtered.wrapped) * filtered.step_s;
    envelope.group_delay_s = filtered.group_delay_s;
    const std::size_t size = filtered.samples.size();
    envelope.energy.reserve(size);
    for (std::size_t n = 0; n < size; ++n) {
        const std::size_t place = n < filtered.wrapped ? size - filtered.wrapped + n : n - filtered.wrapped;
        envelope.energy.push_back(std::norm(filtered.samples[place]) / 2);
    }
    return envelope;
}

} // namespace ebbmark
