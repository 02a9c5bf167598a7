// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/position.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// What lies between the direct sound itself and the time at which reflections become too many.
constexpr double from_s = 0.0008, to_s = 0.025;
// High enough for single reflections to stand apart, low enough for a microphone that is put back 2 cm beside
// its place and a trap's edge.
constexpr double from_hz = 500, to_hz = 4000;
constexpr double smooth_s = 0.0002; // deviation of the Gaussian that lets a lag move by about 5 cm of path
constexpr double trend_s = 0.0025;  // on either side: the decay is no sign of a place
constexpr double slack_s = 0.0005;  // between the direct sounds as found
// Beside a reflection off something that was changed: a trap 30 cm deep brings it forward by 1.7 ms at most.
constexpr double changed_before_s = 0.002, changed_after_s = 0.001;

// Chosen on one half of the positions of the panel room, judged on the other: tests/bench,
// position_scenarios.
constexpr double clearly = 0.2;   // more alike than the claimed position
constexpr double known = 0.6;     // alike enough to be that place
constexpr double one_place = 0.4; // places that are as alike as this cannot be told apart

std::size_t first_sound(const Signal& response) {
    const auto& h = response.samples;
    const std::size_t best = strongest(h), back = std::min(best, frames(0.05, response.rate_hz));
    std::size_t first = best - back;
    while (first < best && std::abs(h[first]) < 0.25 * std::abs(h[best]))
        ++first;
    return first;
}

/// Squared envelope within the judged band, from the direct sound on.
std::vector<double> envelope(const Signal& response) {
    const double rate_hz = response.rate_hz;
    const std::size_t first = first_sound(response), lead = frames(0.005, rate_hz);
    const std::size_t count = frames(to_s + trend_s + 2 * slack_s, rate_hz);
    std::vector<double> piece(lead + count + lead);
    for (std::size_t n = 0; n < piece.size(); ++n) {
        const std::size_t at = first + n;
        const std::size_t to_end = piece.size() - n;
        const double fade = to_end < lead ? static_cast<double>(to_end) / static_cast<double>(lead) : 1;
        if (at >= lead && at - lead < response.size())
            piece[n] = fade * response.samples[at - lead];
    }
    RealFft forward(fast_fft_size(2 * piece.size()));
    const auto spectrum = forward.forward(piece);
    ComplexInverseFft inverse(forward.size());
    auto bins = inverse.spectrum(forward.size());
    std::fill(bins.begin(), bins.end(), Complex{});
    for (std::size_t k = 1; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(forward.size());
        const double edge = std::min(std::log2(hz / (0.7 * from_hz)), std::log2(1.4 * to_hz / hz));
        bins[k] = spectrum[k] * std::clamp(2 * edge, 0.0, 1.0);
    }
    const auto analytic = inverse.transform(forward.size());
    std::vector<double> squared(count);
    for (std::size_t n = 0; n < count; ++n)
        squared[n] = std::norm(analytic[lead + n]);
    return squared;
}

/// Mean over samples beside each, Gaussian.
std::vector<double> smoothed(const std::vector<double>& values, double deviation) {
    const auto reach = static_cast<std::ptrdiff_t>(3 * deviation) + 1;
    const auto size = static_cast<std::ptrdiff_t>(values.size());
    std::vector<double> result(values.size()), kernel;
    for (std::ptrdiff_t k = 0; k <= reach; ++k)
        kernel.push_back(std::exp(-0.5 * static_cast<double>(k * k) / (deviation * deviation)));
    for (std::ptrdiff_t n = 0; n < size; ++n) {
        double sum = 0, weights = 0;
        for (auto k = std::max<std::ptrdiff_t>(0, n - reach); k <= std::min(size - 1, n + reach); ++k) {
            const double weight = kernel[static_cast<std::size_t>(std::abs(k - n))];
            sum += weight * values[static_cast<std::size_t>(k)];
            weights += weight;
        }
        result[static_cast<std::size_t>(n)] = sum / weights;
    }
    return result;
}

/// When the reflections come, whatever their decay: the smoothed envelope over its own trend, less 1.
std::vector<double> reflections(const Signal& response) {
    auto values = smoothed(envelope(response), smooth_s * response.rate_hz);
    for (double& value : values)
        value = std::pow(value, 0.25);
    // The direct sound stands above all: the trend begins behind it.
    const std::size_t skipped = std::min(frames(from_s - slack_s, response.rate_hz), values.size());
    values.erase(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(skipped));
    const auto trend = smoothed(values, 0.5 * trend_s * response.rate_hz);
    for (std::size_t n = 0; n < values.size(); ++n)
        values[n] = trend[n] > 0 ? values[n] / trend[n] - 1 : 0;
    return values;
}

std::vector<double> weights_of(const std::vector<double>& changed_lags_s, double rate_hz, std::size_t size) {
    std::vector<double> weights(size);
    for (std::size_t n = 0; n < size; ++n) {
        const double lag_s = from_s + static_cast<double>(n) / rate_hz;
        const bool changed = std::any_of(changed_lags_s.begin(), changed_lags_s.end(), [&](double at_s) {
            return lag_s > at_s - changed_before_s && lag_s < at_s + changed_after_s;
        });
        weights[n] = changed ? 0 : 1;
    }
    return weights;
}

/// Highest correlation of the unchanged reflections over the slack of their starts.
double likeness(const std::vector<double>& a, const std::vector<double>& b,
                const std::vector<double>& changed_lags_s, double rate_hz) {
    const std::size_t slack = frames(slack_s, rate_hz), count = frames(to_s - from_s, rate_hz);
    const auto weights = weights_of(changed_lags_s, rate_hz, count);
    double highest = 0;
    for (std::size_t shift = 0; shift <= 2 * slack; ++shift) {
        double ab = 0, aa = 0, bb = 0;
        for (std::size_t n = 0; n < count; ++n) {
            const double x = a[n + slack], y = b[n + shift];
            ab += weights[n] * x * y;
            aa += weights[n] * x * x;
            bb += weights[n] * y * y;
        }
        if (aa > 0 && bb > 0)
            highest = std::max(highest, ab / std::sqrt(aa * bb));
    }
    return highest;
}

} // namespace

double likeness_of_reflections(const Signal& a, const Signal& b, const std::vector<double>& changed_lags_s) {
    return a.rate_hz == b.rate_hz ? likeness(reflections(a), reflections(b), changed_lags_s, a.rate_hz) : 0;
}

std::optional<QualityCheck> position_check(const Signal& response, const std::vector<EarlierPlace>& earlier,
                                           std::size_t claimed) {
    if (claimed >= earlier.size() || earlier[claimed].response.rate_hz != response.rate_hz)
        return {};
    const auto heard = reflections(response), expected = reflections(earlier[claimed].response);
    const double own = likeness(heard, expected, earlier[claimed].changed_lags_s, response.rate_hz);
    QualityCheck check{CheckName::position, own, 0, "likeness"};
    const EarlierPlace* rather = nullptr;
    double highest = 0;
    for (std::size_t n = 0; n < earlier.size(); ++n) {
        const EarlierPlace& other = earlier[n];
        if (n == claimed || other.response.rate_hz != response.rate_hz)
            continue;
        const auto theirs = reflections(other.response);
        const double alike = likeness(heard, theirs, other.changed_lags_s, response.rate_hz);
        if (alike > highest && likeness(expected, theirs, {}, response.rate_hz) < one_place)
            highest = alike, rather = &other;
    }
    check.limit = std::max(0.0, highest - clearly);
    if (!rather || highest < known || own + clearly >= highest)
        return check;
    check.outcome = CheckOutcome::noted;
    check.advice =
        fmt::format("the early reflections come when they came at {}: check the position's name, and where "
                    "loudspeaker and microphone stand",
                    rather->name);
    check.effect = fmt::format("if it is {}, all bands and modes compare two places", rather->name);
    check.finding = fmt::format("early reflections are those of {} ({:.2f} alike) rather than of {} ({:.2f})",
                                rather->name, highest, earlier[claimed].name, own);
    return check;
}

} // namespace ebbmark
