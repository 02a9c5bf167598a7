// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/deconvolution.hpp"

#include "base/error.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace ebbmark {

namespace {

// How far below the excitation's own level the divisor is held up. Inside the band the loss is 1e-10, far
// below the noise of any recording; outside, the result fades out instead of dividing noise by nothing.
constexpr double floor_inside = 1e-10;
constexpr double floor_outside = 0.3;
// Widths over which the floor rises, in octaves outwards from the band's ends. At the upper end the sweep's
// own spectrum stops within some hundred hertz, and a floor that rises later would divide by nothing there;
// at the lower end a steeper rise would ring for seconds.
constexpr double floor_rise_below = 1.0 / 12;
constexpr double floor_rise_above = 1.0 / 96;

// Noise alone puts its highest of a million samples at 5 to 6 times the scatter; a room's direct sound lies
// higher by tens of decibels. Measured on noise, clicks, tones and other sweeps: tests/signal.
constexpr double least_peak_over_scatter = 12;
// A sweep that is found is compressed: this part of the energy within 1 s of the peak lies within 100 ms of
// it.
constexpr double least_compressed_part = 0.2;

constexpr double longest_lead_s = 0.05;
constexpr double shortest_response_s = 2;
constexpr double longest_response_s = 8;
constexpr double search_s = 0.02; // repeats are looked for this far from their place: 1000 ppm of 20 s
constexpr double highest_harmonic = 10;

using Samples = std::vector<double>;

/// The floor under the divisor's energy, relative to the excitation's level: low inside the band, high
/// outside.
double relative_floor(double hz, double from_hz, double to_hz) {
    const double outside =
        std::max(std::log2(from_hz / hz) / floor_rise_below, std::log2(hz / to_hz) / floor_rise_above);
    const double part = std::clamp(outside, 0.0, 1.0);
    return floor_inside * std::pow(floor_outside / floor_inside, part);
}

/// recording / sweep, as a spectrum of the transform's size.
std::vector<Complex> divide(RealFft& fft, const Signal& recording, const Excitation& excitation) {
    auto result = fft.forward(recording.samples);
    const auto sweep = fft.forward(excitation.sweep.samples);
    const double hz_per_bin = recording.rate_hz / static_cast<double>(fft.size());
    const double level = level_per_octave(sweep, hz_per_bin, excitation.from_hz, excitation.to_hz);
    result[0] = 0;
    for (std::size_t k = 1; k < result.size(); ++k) {
        const double hz = static_cast<double>(k) * hz_per_bin;
        const double floor = level / hz * relative_floor(hz, excitation.from_hz, excitation.to_hz);
        result[k] *= std::conj(sweep[k]) / (std::norm(sweep[k]) + floor);
    }
    return result;
}

/// Samples [first, first + count) of a circular result; `first` may be negative.
Samples cut(std::span<const double> circle, std::ptrdiff_t first, std::size_t count) {
    const auto size = static_cast<std::ptrdiff_t>(circle.size());
    Samples piece(count);
    for (std::size_t n = 0; n < count; ++n)
        piece[n] =
            circle[static_cast<std::size_t>(((first + static_cast<std::ptrdiff_t>(n)) % size + size) % size)];
    return piece;
}

double scatter(std::span<const double> samples) {
    Samples magnitudes(samples.size());
    std::transform(samples.begin(), samples.end(), magnitudes.begin(), [](double x) { return std::abs(x); });
    const auto middle = magnitudes.begin() + static_cast<std::ptrdiff_t>(magnitudes.size() / 2);
    std::nth_element(magnitudes.begin(), middle, magnitudes.end());
    return *middle / 0.67449; // the median magnitude of a normal distribution of scatter 1
}

void require_sweep(std::span<const double> circle, std::size_t peak, double scattered, double rate_hz) {
    const auto at = static_cast<std::ptrdiff_t>(peak);
    const auto second = static_cast<std::ptrdiff_t>(rate_hz);
    const double near = energy(cut(circle, at - second / 200, static_cast<std::size_t>(second / 10)));
    const double around = energy(cut(circle, at - second, static_cast<std::size_t>(2 * second)));
    const bool stands_out = std::abs(circle[peak]) >= least_peak_over_scatter * scattered;
    if (stands_out && near >= least_compressed_part * around)
        return;
    throw Error(ErrorKind::unusable,
                stands_out
                    ? "a sweep may be in the recording, but not this one; check that --sweep describes what "
                      "was played (start, stop and length), and that the player did not change its speed"
                    : "the sweep is not in the recording; check that --sweep describes what was played, and "
                      "that the microphone was connected and its gain up");
}

/// Where the sweep arrives: the earliest sample within 12 dB of the strongest one, up to 50 ms before it.
std::size_t arrival(std::span<const double> circle, std::size_t peak, double rate_hz) {
    const std::size_t back = std::min(peak, frames(0.05, rate_hz));
    const double limit = 0.25 * std::abs(circle[peak]);
    for (std::size_t n = peak - back; n < peak; ++n)
        if (std::abs(circle[n]) >= limit)
            return n;
    return peak;
}

/// Peaks of all repeats, in order; at least the strongest one, with its neighbours one period apart.
std::vector<std::size_t> find_repeats(std::span<const double> result, const Excitation& excitation,
                                      std::size_t length) {
    const double rate_hz = excitation.sweep.rate_hz;
    const std::size_t best = strongest(result.first(length));
    std::vector<std::size_t> peaks{best};
    const auto reach = static_cast<std::ptrdiff_t>(frames(search_s, rate_hz));
    const auto peak_near = [&](std::ptrdiff_t place) -> std::optional<std::size_t> {
        const auto first = std::max<std::ptrdiff_t>(0, place - reach);
        const auto last = std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(length), place + reach + 1);
        if (first >= last)
            return {};
        const auto piece =
            result.subspan(static_cast<std::size_t>(first), static_cast<std::size_t>(last - first));
        const std::size_t found = static_cast<std::size_t>(first) + strongest(piece);
        if (std::abs(result[found]) < 0.5 * std::abs(result[best]))
            return {};
        return found;
    };
    for (const int direction : {-1, 1})
        for (int k = 1; k < excitation.repeats; ++k) {
            const double offset = direction * k * excitation.repeat_period_s * rate_hz;
            const auto found = peak_near(static_cast<std::ptrdiff_t>(best) + std::llround(offset));
            if (!found || peaks.size() == static_cast<std::size_t>(excitation.repeats))
                break;
            peaks.push_back(*found);
        }
    std::sort(peaks.begin(), peaks.end());
    return peaks;
}

/// By how many samples `later` lags `earlier`: slope of the cross spectrum's phase, weighted by its
/// magnitude, after the whole-sample lag has been taken out by the caller (so |lag| < 2 samples).
double fractional_lag(RealFft& fft, std::span<const double> earlier, std::span<const double> later,
                      const Excitation& excitation) {
    const auto a = fft.forward(earlier);
    const auto b = fft.forward(later);
    const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft.size());
    // Two passes: the phase left over after the first estimate cannot wrap.
    double lag = 0;
    for (const double highest_hz :
         {excitation.from_hz + (excitation.to_hz - excitation.from_hz) / 8, excitation.to_hz}) {
        double top = 0, bottom = 0;
        for (std::size_t k = 1; k < a.size(); ++k) {
            const double hz = static_cast<double>(k) * hz_per_bin;
            if (hz < excitation.from_hz || hz > highest_hz)
                continue;
            const double turn =
                2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(fft.size());
            const Complex cross = std::conj(b[k]) * a[k] * std::polar(1.0, -turn * lag);
            top += turn * cross.imag();
            bottom += turn * turn * std::abs(cross);
        }
        lag += bottom > 0 ? top / bottom : 0;
    }
    return lag;
}

/// `spectrum` moved earlier by `lag` samples.
void advance(std::span<Complex> spectrum, double lag, std::size_t size) {
    for (std::size_t k = 0; k < spectrum.size(); ++k)
        spectrum[k] *=
            std::polar(1.0, 2 * std::numbers::pi * static_cast<double>(k) * lag / static_cast<double>(size));
}

double response_seconds(const Excitation& excitation, double recording_s, double last_arrival_s) {
    const double sweep_s = excitation.sweep.duration_s();
    double seconds = std::max(shortest_response_s, recording_s - last_arrival_s - sweep_s);
    if (excitation.repeats > 1) {
        const double harmonics_s =
            excitation.harmonic_lead_s * std::log(highest_harmonic) / std::numbers::ln2;
        seconds = std::min(
            seconds, std::max(excitation.repeat_period_s - harmonics_s, 0.5 * excitation.repeat_period_s));
    }
    return std::min(seconds, longest_response_s);
}

/// Responses of all repeats, aligned to a fraction of a sample and averaged.
class Repeats {
  public:
    Repeats(const std::vector<std::size_t>& peaks, double lead, double seconds, double rate_hz)
        : peaks_(peaks), lead_(static_cast<std::ptrdiff_t>(frames(lead, rate_hz))),
          count_(frames(lead + seconds, rate_hz)), fft_(fast_fft_size(2 * count_)) {}

    /// Lags of each repeat behind the first, beyond the whole samples between the peaks.
    std::vector<double> lags(std::span<const double> result, const Excitation& excitation) {
        std::vector<double> lags(peaks_.size(), 0.0);
        const Samples first = piece(result, 0);
        for (std::size_t k = 1; k < peaks_.size(); ++k)
            lags[k] = fractional_lag(fft_, first, piece(result, k), excitation);
        return lags;
    }

    std::vector<Complex> average(std::span<const double> result, const std::vector<double>& lags) {
        std::vector<Complex> sum(fft_.bins());
        for (std::size_t k = 0; k < peaks_.size(); ++k) {
            auto spectrum = fft_.forward(piece(result, k));
            advance(spectrum, lags[k], fft_.size());
            for (std::size_t bin = 0; bin < sum.size(); ++bin)
                sum[bin] += spectrum[bin] / static_cast<double>(peaks_.size());
        }
        return sum;
    }

    RealFft& fft() { return fft_; }
    std::size_t count() const { return count_; }

  private:
    Samples piece(std::span<const double> result, std::size_t k) const {
        return cut(result, static_cast<std::ptrdiff_t>(peaks_[k]) - lead_, count_);
    }

    const std::vector<std::size_t>& peaks_;
    std::ptrdiff_t lead_;
    std::size_t count_;
    RealFft fft_;
};

/// Only the loopback's own short response with soft ends: what lies beyond is its harmonics and noise. Wide
/// enough for the ringing of the band's lower end, which the microphone's response has too. Circular time
/// zero is the peak.
Samples gated_loopback(std::span<const double> samples, std::size_t peak, std::size_t size,
                       const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const auto before = static_cast<std::ptrdiff_t>(frames(0.45 * excitation.harmonic_lead_s, rate_hz));
    const auto after = static_cast<std::ptrdiff_t>(frames(0.5, rate_hz));
    Samples gated(size);
    for (std::ptrdiff_t n = -before; n < after; ++n) {
        const auto from = static_cast<std::ptrdiff_t>(peak) + n;
        if (from < 0 || from >= static_cast<std::ptrdiff_t>(samples.size()))
            continue;
        const double edge = n < 0
                                ? 1 + static_cast<double>(n) / static_cast<double>(before)
                                : std::min(1.0, 2 - 2 * static_cast<double>(n) / static_cast<double>(after));
        const double weight = 0.5 * (1 - std::cos(std::numbers::pi * std::clamp(edge, 0.0, 1.0)));
        gated[static_cast<std::size_t>((n + static_cast<std::ptrdiff_t>(size)) %
                                       static_cast<std::ptrdiff_t>(size))] =
            weight * samples[static_cast<std::size_t>(from)];
    }
    return gated;
}

/// Divides the response by the loopback's, inside the band that both reach.
void remove_loopback(RealFft& fft, std::vector<Complex>& response, const Samples& gated,
                     const Excitation& excitation) {
    const auto loop = fft.forward(gated);
    double strongest_bin = 0;
    for (const Complex& bin : loop)
        strongest_bin = std::max(strongest_bin, std::norm(bin));
    const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft.size());
    for (std::size_t k = 1; k < response.size(); ++k) {
        const double hz = static_cast<double>(k) * hz_per_bin;
        const double floor = strongest_bin * relative_floor(hz, excitation.from_hz, excitation.to_hz);
        response[k] *= std::conj(loop[k]) / (std::norm(loop[k]) + floor);
    }
}

void check_input(const Signal& recording, const Excitation& excitation) {
    if (recording.rate_hz != excitation.sweep.rate_hz)
        throw Error(ErrorKind::unusable,
                    fmt::format("the recording has {:g} Hz, the sweep {:g} Hz; give the sweep's "
                                "description for the rate that was recorded",
                                recording.rate_hz, excitation.sweep.rate_hz));
    if (energy(recording.samples) == 0)
        throw Error(ErrorKind::unusable,
                    "the recording is silent: every sample is zero; check that the microphone's "
                    "channel was recorded, and pick it with --channel");
}

/// One channel divided by the sweep, and where the sweeps are in it.
struct Compressed {
    Samples samples; ///< circular: what lies before the recording's start is at the end
    std::vector<std::size_t> peaks;
    double scattered = 0;
};

Compressed compress(RealFft& fft, const Signal& recording, const Excitation& excitation) {
    check_input(recording, excitation);
    Compressed found;
    found.samples = fft.inverse(divide(fft, recording, excitation));
    found.peaks = find_repeats(found.samples, excitation, recording.size());
    found.scattered = scatter(std::span(found.samples).first(recording.size()));
    require_sweep(found.samples, found.peaks.front(), found.scattered, recording.rate_hz);
    return found;
}

/// The recorder's clock against the player's, from the distance of the first and the last sweep.
double drift_ppm(const std::vector<std::size_t>& peaks, double last_lag, const Excitation& excitation) {
    const double period = excitation.repeat_period_s * excitation.sweep.rate_hz;
    const double span = static_cast<double>(peaks.back() - peaks.front()) + last_lag;
    return (span / (std::round(span / period) * period) - 1) * 1e6;
}

} // namespace

Deconvolved deconvolve(const Signal& recording, const Excitation& excitation, const Signal& loopback) {
    const double rate_hz = recording.rate_hz;
    // Room for both ends: nothing of the recording wraps round into the response or its harmonics.
    RealFft fft(fast_fft_size(recording.size() + excitation.sweep.size()));
    const Compressed heard = compress(fft, recording, excitation);
    const std::size_t peak = heard.peaks.front();
    const std::size_t first = arrival(heard.samples, peak, rate_hz);

    Deconvolved found;
    found.sweeps_used = static_cast<int>(heard.peaks.size());
    found.delay_s = static_cast<double>(first) / rate_hz;
    found.peak_over_noise_db =
        20 * std::log10(std::abs(heard.samples[peak]) / std::max(heard.scattered, 1e-300));
    found.lead_s = std::min(longest_lead_s, excitation.harmonic_lead_s / 2);

    const double last_s = static_cast<double>(heard.peaks.back()) / rate_hz;
    const double seconds = response_seconds(excitation, recording.duration_s(), last_s);
    std::vector<std::size_t> starts =
        heard.peaks; // time zero of each repeat: the arrival, or the loopback's peak
    std::optional<Compressed> looped;
    if (loopback.samples.empty()) {
        for (std::size_t& start : starts)
            start -= std::min(start, peak - first);
    } else {
        looped = compress(fft, loopback, excitation);
        if (looped->peaks.size() < starts.size())
            throw Error(ErrorKind::unusable,
                        "the loopback channel holds fewer sweeps than the microphone's; check its "
                        "cable and the channel number");
        starts = looped->peaks;
        starts.resize(heard.peaks.size());
    }
    Repeats repeats(starts, found.lead_s, seconds, rate_hz);
    const auto lags = repeats.lags(looped ? looped->samples : heard.samples, excitation);
    auto spectrum = repeats.average(heard.samples, lags);
    if (looped) {
        const auto gated = gated_loopback(looped->samples, starts.front(), repeats.fft().size(), excitation);
        remove_loopback(repeats.fft(), spectrum, gated, excitation);
    }
    found.response = {repeats.fft().inverse(spectrum), rate_hz};
    found.response.samples.resize(repeats.count());
    if (starts.size() > 1)
        found.drift_ppm = drift_ppm(starts, lags.back(), excitation);
    return found;
}

} // namespace ebbmark
