// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/evidence.hpp"

#include "base/bands.hpp"
#include "base/order_statistics.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <optional>
#include <span>

namespace ebbmark {

namespace {

using std::numbers::pi;

constexpr double shortest_s = 0.4, longest_part_s = 0.5;
constexpr double nothing_from_hz = 8, nothing_to_hz = 16; ///< no loudspeaker's band that is far weaker
constexpr double highest_source_hz = 100;
constexpr double far_weaker = 316;     // 25 dB
constexpr double no_more_than = 10;    // 10 dB: chance of a third octave's few values, and its slope
constexpr double falls_with_time = 10; // 10 dB from the first part to the last
constexpr double line_from_hz = 20, line_to_hz = 400;
// A line over the median of ±20 Hz: noise reaches it in less than one of a hundred records.
constexpr double line_over_median = 20;
constexpr double steady = 1.6; // 2 dB from one quarter to the next; a mode of 1.5 s falls 10 dB in 0.25 s

/// Energy density of a stretch that fades out, per bin.
class Density {
  public:
    Density(std::span<const double> samples, double rate_hz, bool fade_in) {
        RealFft fft(fast_fft_size(2 * samples.size()));
        std::vector<double> faded(samples.begin(), samples.end());
        const double length = static_cast<double>(faded.size());
        for (std::size_t n = 0; n < faded.size(); ++n) {
            const double part = static_cast<double>(n) / length;
            faded[n] *= fade_in ? 0.5 * (1 - std::cos(2 * pi * part)) : 0.5 * (1 + std::cos(pi * part));
        }
        for (const Complex& bin : fft.spectrum_of(faded))
            power_.push_back(std::norm(bin));
        per_bin_ = rate_hz / static_cast<double>(fft.size());
    }

    double mean(double from_hz, double to_hz) const {
        const std::size_t from = bin(from_hz), to = std::max(from + 1, bin(to_hz));
        double sum = 0;
        for (std::size_t k = from; k < to; ++k)
            sum += power_[k];
        return sum / static_cast<double>(to - from);
    }
    double median(double from_hz, double to_hz) const {
        return upper_median({power_.begin() + static_cast<std::ptrdiff_t>(bin(from_hz)),
                             power_.begin() + static_cast<std::ptrdiff_t>(bin(to_hz) + 1)});
    }
    double loudest(double from_hz, double to_hz) const {
        double most = 0;
        for (std::size_t k = bin(from_hz); k <= bin(to_hz); ++k)
            most = std::max(most, power_[k]);
        return most;
    }
    std::size_t bin(double hz) const {
        return std::min(power_.size() - 1, static_cast<std::size_t>(std::max(0.0, hz / per_bin_)));
    }
    double hz(std::size_t bin) const { return static_cast<double>(bin) * per_bin_; }
    double operator[](std::size_t bin) const { return power_[bin]; }

  private:
    std::vector<double> power_;
    double per_bin_ = 1;
};

double emitted_from(std::span<const double> after_onset, double rate_hz) {
    const std::size_t length = std::min(frames(longest_part_s, rate_hz), after_onset.size() * 2 / 5);
    const Density first(after_onset.first(length), rate_hz, false),
        last(after_onset.last(length), rate_hz, true);
    const double nothing = first.mean(nothing_from_hz, nothing_to_hz);
    if (nothing < falls_with_time * last.mean(nothing_from_hz, nothing_to_hz))
        return 0;
    double most = 0;
    for (const Band& band : bands_between(BandWidth::third, 50, 500))
        most = std::max(most, first.mean(band.lower_hz, band.upper_hz));
    if (most < far_weaker * nothing)
        return 0;
    double from_hz = 0;
    for (const Band& band : bands_between(BandWidth::third, 20, highest_source_hz)) {
        if (first.mean(band.lower_hz, band.upper_hz) > no_more_than * nothing)
            break;
        from_hz = band.upper_hz;
    }
    return from_hz;
}

/// Energy of one frequency in a stretch, Hann window.
double energy_at(std::span<const double> samples, double rate_hz, double hz) {
    Complex sum = 0;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(samples.size());
        sum += samples[n] * (1 - std::cos(2 * pi * part)) *
               std::polar(1.0, -2 * pi * hz * static_cast<double>(n) / rate_hz);
    }
    return std::norm(sum);
}

std::vector<double> steady_lines(std::span<const double> after_onset, double rate_hz) {
    const auto half = after_onset.last(after_onset.size() / 2);
    const Density density(half, rate_hz, true);
    const std::size_t quarter = half.size() / 2;
    std::vector<double> lines;
    for (std::size_t k = density.bin(line_from_hz) + 1; k < density.bin(line_to_hz); ++k) {
        if (density[k] < density[k - 1] || density[k] < density[k + 1])
            continue;
        const double hz = density.hz(k);
        if (density.loudest(hz - 20, hz + 20) > density[k]) // the window's side lobes
            continue;
        if (density[k] < line_over_median * density.median(std::max(5.0, hz - 20), hz + 20))
            continue;
        const double earlier = energy_at(half.first(quarter), rate_hz, hz),
                     later = energy_at(half.last(quarter), rate_hz, hz);
        if (earlier < steady * later && later < steady * earlier)
            lines.push_back(hz);
    }
    return lines;
}

} // namespace

ResponseEvidence evidence_of(const Signal& response, double onset_s) {
    const std::size_t onset = std::min(frames(onset_s, response.rate_hz), response.size());
    const auto after_onset = std::span(response.samples).subspan(onset);
    if (static_cast<double>(after_onset.size()) < shortest_s * response.rate_hz)
        return {};
    return {emitted_from(after_onset, response.rate_hz), steady_lines(after_onset, response.rate_hz)};
}

} // namespace ebbmark
