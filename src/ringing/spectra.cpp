// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/spectra.hpp"

#include "base/error.hpp"
#include "base/order_statistics.hpp"
#include "ringing/low_rate.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace ebbmark {

namespace {

// Twenty samples per period at the highest frequency of interest keep the cubic interpolation of a stretched
// time axis 75 dB below the signal there, and much more below it.
constexpr double samples_per_period = 20;
constexpr double shortest_s = 0.3;
// A steady line: power over the median of its surroundings, and the two halves' levels.
constexpr double shortest_tail_s = 0.4, line_over_median = 25, least_half = 0.5;
constexpr std::ptrdiff_t surroundings = 12;
// Power over the median of the noise (twice is 1.4 times its mean) that counts as sound, and how much longer
// the record is kept: a narrow mode can be followed far below the noise of the whole range.
constexpr double still_heard = 3, beyond = 1.4;

std::size_t fast_size_within(std::size_t most) {
    std::size_t wanted = most;
    while (fast_fft_size(wanted) > most)
        --wanted;
    return fast_fft_size(wanted);
}

/// `samples` on a time axis stretched by `scale`, cubic through four neighbours (Catmull-Rom).
std::vector<double> stretched(const std::vector<double>& samples, double scale, std::size_t size) {
    const auto count = static_cast<std::ptrdiff_t>(samples.size());
    const auto sample = [&](std::ptrdiff_t i) {
        return i >= 0 && i < count ? samples[static_cast<std::size_t>(i)] : 0;
    };
    std::vector<double> made(size);
    for (std::size_t n = 0; n < size; ++n) {
        const double at = static_cast<double>(n) / scale;
        const auto index = static_cast<std::ptrdiff_t>(at);
        const double x = at - static_cast<double>(index);
        const double a = sample(index - 1), b = sample(index), c = sample(index + 1), d = sample(index + 2);
        // Lagrange's cubic: exact for polynomials of third order.
        made[n] =
            b + x * ((c - a / 3 - b / 2 - d / 6) + x * ((a + c) / 2 - b + x * ((d - a) / 6 + (b - c) / 2)));
    }
    return made;
}

/// Power of the Hann-windowed piece at each bin of `fft`.
std::vector<double> windowed_power(std::span<const double> piece, RealFft& fft) {
    std::vector<double> faded(fft.size());
    for (std::size_t n = 0; n < piece.size(); ++n)
        faded[n] = piece[n] * std::pow(std::sin(std::numbers::pi * (static_cast<double>(n) + 0.5) /
                                                static_cast<double>(piece.size())),
                                       2);
    std::vector<double> power;
    for (const Complex value : fft.forward(faded))
        power.push_back(std::norm(value));
    return power;
}

/// Power at one frequency, of a Hann-windowed piece.
double power_at(std::span<const double> piece, double turns_per_sample) {
    Complex sum = 0;
    for (std::size_t n = 0; n < piece.size(); ++n)
        sum += piece[n] *
               std::pow(std::sin(std::numbers::pi * (static_cast<double>(n) + 0.5) /
                                 static_cast<double>(piece.size())),
                        2) *
               std::polar(1.0, -2 * std::numbers::pi * turns_per_sample * static_cast<double>(n));
    return std::norm(sum);
}

} // namespace

LowResponses::LowResponses(std::span<const Signal> responses, std::span<const double> onset_s, double to_hz) {
    if (responses.empty())
        throw Error(ErrorKind::usage, "no response to look for modes in");
    const double rate = responses[0].rate_hz;
    std::size_t size = responses[0].size();
    std::vector<std::size_t> starts;
    for (std::size_t p = 0; p < responses.size(); ++p) {
        if (responses[p].rate_hz != rate)
            throw Error(
                ErrorKind::unusable,
                fmt::format(
                    "position {}: {:g} Hz sample rate, but {:g} Hz at the first; give responses of one "
                    "measurement with one rate",
                    p + 1, responses[p].rate_hz, rate));
        if (energy(responses[p].samples) == 0)
            throw Error(ErrorKind::unusable, fmt::format("position {}: the response is silent", p + 1));
        starts.push_back(std::min(frames(onset_s[p], rate), responses[p].size()));
        size = std::min(size, responses[p].size() - starts.back());
    }
    if (static_cast<double>(size) < shortest_s * rate)
        throw Error(
            ErrorKind::unusable,
            fmt::format("the shortest response ends {:.2f} s after its onset; modes need at least {:g} s",
                        static_cast<double>(size) / rate, shortest_s));
    if (rate < least_rate_hz(to_hz))
        throw Error(ErrorKind::unusable,
                    fmt::format("modes up to {:g} Hz need a sample rate of at least {:g} Hz", to_hz,
                                least_rate_hz(to_hz)));
    for (std::size_t p = 0; p < responses.size(); ++p)
        signals_.push_back(
            at_low_rate({responses[p].samples.data() + starts[p], size}, rate, to_hz, samples_per_period));
    rate_hz_ = signals_[0].rate_hz;
    size_ = fast_size_within(signals_[0].size());
}

LowResponses LowResponses::at(std::span<const std::size_t> positions) const {
    LowResponses made = *this;
    made.signals_.clear();
    for (const std::size_t position : positions)
        made.signals_.push_back(signals_[position]);
    return made;
}

double LowResponses::duration_s() const {
    return static_cast<double>(size_) / rate_hz_;
}

void LowResponses::cut_at_noise(double from_hz, double to_hz) {
    const Eigen::MatrixXcd spectrum =
        spectra(Eigen::VectorXd::Ones(static_cast<Eigen::Index>(positions())), from_hz, to_hz);
    const Eigen::Index size = spectrum.rows();
    ComplexInverseFft fft(static_cast<std::size_t>(size));
    // Power over time, each position in units of its noise: the median of the last quarter.
    std::vector<double> power(static_cast<std::size_t>(size), 0.0);
    for (Eigen::Index p = 0; p < spectrum.cols(); ++p) {
        for (Eigen::Index k = 0; k < size; ++k) {
            const double fade =
                std::sin(std::numbers::pi * (static_cast<double>(k) + 0.5) / static_cast<double>(size));
            fft.spectrum(static_cast<std::size_t>(size))[static_cast<std::size_t>(k)] = spectrum(k, p) * fade;
        }
        std::vector<double> its;
        for (const Complex value : fft.transform(static_cast<std::size_t>(size)))
            its.push_back(std::norm(value));
        const double noise =
            upper_median({its.begin() + static_cast<std::ptrdiff_t>(its.size() * 3 / 4), its.end()});
        for (std::size_t n = 0; n < its.size(); ++n)
            power[n] += its[n] / noise / static_cast<double>(spectrum.cols());
    }
    const double step = duration_s() / static_cast<double>(size);
    const std::size_t block = std::max<std::size_t>(1, frames(0.05, 1 / step));
    double end = 0;
    for (std::size_t n = 0; n + block <= power.size() * 19 / 20; ++n)
        if (std::accumulate(power.begin() + static_cast<std::ptrdiff_t>(n),
                            power.begin() + static_cast<std::ptrdiff_t>(n + block),
                            0.0) > still_heard * static_cast<double>(block))
            end = static_cast<double>(n + block) * step;
    size_ = std::min(
        size_, fast_size_within(std::max(frames(shortest_s, rate_hz_), frames(beyond * end, rate_hz_))));
}

std::vector<double> LowResponses::steady_lines(double from_hz, double to_hz) const {
    std::vector<double> lines;
    for (const Signal& signal : signals_) {
        const std::span<const double> tail(signal.samples.data() + size_, signal.size() - size_);
        if (static_cast<double>(tail.size()) < shortest_tail_s * rate_hz_)
            continue;
        RealFft fft(fast_fft_size(4 * tail.size())); // finer than the line is wide
        const double bin_hz = rate_hz_ / static_cast<double>(fft.size());
        const auto power = windowed_power(tail, fft);
        const auto first = static_cast<std::ptrdiff_t>(from_hz / bin_hz),
                   last = static_cast<std::ptrdiff_t>(to_hz / bin_hz);
        const std::ptrdiff_t around = 4 * surroundings;
        for (std::ptrdiff_t k = std::max(first, around);
             k <= last && k + around < static_cast<std::ptrdiff_t>(power.size()); ++k) {
            const auto at = [&](std::ptrdiff_t i) { return power[static_cast<std::size_t>(i)]; };
            if (at(k) < at(k - 1) || at(k) < at(k + 1))
                continue;
            if (at(k) <
                line_over_median * upper_median({power.begin() + (k - around), power.begin() + (k + around)}))
                continue;
            const double hz = static_cast<double>(k) * bin_hz, half = 0.5 * static_cast<double>(tail.size());
            const auto middle = static_cast<std::size_t>(half);
            const double early = power_at(tail.first(middle), hz / rate_hz_),
                         late = power_at(tail.last(middle), hz / rate_hz_);
            if (std::min(early, late) > least_half * std::max(early, late))
                lines.push_back(hz);
        }
    }
    // One line once, whichever positions show it.
    std::sort(lines.begin(), lines.end());
    const double one_line_hz = 0.5 / duration_s();
    lines.erase(
        std::unique(lines.begin(), lines.end(), [&](double a, double b) { return b - a < one_line_hz; }),
        lines.end());
    return lines;
}

Eigen::VectorXd LowResponses::bins(double from_hz, double to_hz) const {
    const auto first = static_cast<Eigen::Index>(std::ceil(from_hz * duration_s()));
    const auto last = static_cast<Eigen::Index>(std::floor(to_hz * duration_s()));
    return Eigen::VectorXd::LinSpaced(last - first + 1, static_cast<double>(first),
                                      static_cast<double>(last)) /
           duration_s();
}

Eigen::MatrixXcd LowResponses::spectra(const Eigen::VectorXd& scale, double from_hz, double to_hz) const {
    RealFft fft(size_);
    const auto first = static_cast<Eigen::Index>(std::ceil(from_hz * duration_s()));
    Eigen::MatrixXcd made(bins(from_hz, to_hz).size(), static_cast<Eigen::Index>(positions()));
    for (std::size_t p = 0; p < positions(); ++p) {
        const auto column = static_cast<Eigen::Index>(p);
        const auto spectrum = scale(column) == 1
                                  ? fft.forward({signals_[p].samples.data(), size_})
                                  : fft.forward(stretched(signals_[p].samples, scale(column), size_));
        for (Eigen::Index k = 0; k < made.rows(); ++k)
            made(k, column) = spectrum[static_cast<std::size_t>(first + k)] / rate_hz_;
    }
    return made;
}

} // namespace ebbmark
