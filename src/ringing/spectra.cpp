// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/spectra.hpp"

#include "base/error.hpp"
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
        std::vector<double> late(its.begin() + static_cast<std::ptrdiff_t>(its.size() * 3 / 4), its.end());
        std::nth_element(late.begin(), late.begin() + static_cast<std::ptrdiff_t>(late.size() / 2),
                         late.end());
        const double noise = late[late.size() / 2];
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
