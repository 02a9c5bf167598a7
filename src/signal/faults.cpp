// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/faults.hpp"

#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace ebbmark {

namespace {

/// The step of an integer recording of 8, 16, 20 or 24 bits, of which every sample is a multiple; else that
/// of 32.
double step_of(std::span<const double> samples) {
    for (const int bits : {8, 16, 20, 24}) {
        const double steps = std::ldexp(1.0, bits - 1);
        if (std::all_of(samples.begin(), samples.end(),
                        [&](double x) { return x * steps == std::nearbyint(x * steps); }))
            return 1 / steps;
    }
    return std::ldexp(1.0, -31);
}

/// How much higher than a flat stretch [from, to) the wave would have been there: a parabola through two
/// samples on either side, at the middle. Negative where it would have been lower.
double hidden_height(std::span<const double> samples, std::size_t from, std::size_t to) {
    if (from < 2 || to + 2 > samples.size())
        return 0;
    // y = a + b u² with u counted from the middle, averaged over both sides, so that a slope drops out.
    const double sign = samples[from] < 0 ? -1 : 1;
    const double near = static_cast<double>(to - from + 1) / 2, far = near + 1;
    const double at_near = 0.5 * sign * (samples[from - 1] + samples[to]);
    const double at_far = 0.5 * sign * (samples[from - 2] + samples[to + 1]);
    const double bend = (at_far - at_near) / (far * far - near * near);
    return at_near - bend * near * near - sign * samples[from];
}

constexpr std::size_t order = 24;

/// Forward prediction errors of an autoregressive model fitted to the samples themselves.
std::vector<double> prediction_errors(std::span<const double> samples) {
    std::vector<double> forward(samples.begin(), samples.end()), backward = forward;
    for (std::size_t m = 1; m <= order; ++m) {
        double top = 0, bottom = 0;
        for (std::size_t n = m; n < forward.size(); ++n) {
            top += forward[n] * backward[n - 1];
            bottom += forward[n] * forward[n] + backward[n - 1] * backward[n - 1];
        }
        const double reflection = bottom > 0 ? -2 * top / bottom : 0;
        for (std::size_t n = forward.size() - 1; n >= m; --n) {
            const double old = forward[n];
            forward[n] += reflection * backward[n - 1];
            backward[n] = backward[n - 1] + reflection * old;
        }
    }
    return forward;
}

double median_magnitude(std::vector<double> values) {
    for (double& value : values)
        value = std::abs(value);
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// A break throws the model off for as many samples as it looks back. Their energy in Gaussian noise, 24 times
// that of one, passes 100 times it once in 1e11 samples; the rest is for a sweep that leaves the model
// within a block.
constexpr double break_over_scatter = 10;

/// The greatest root of the energy of `order` errors in a row that begin in [first, first + count), and
/// where.
std::pair<double, std::size_t> densest(std::span<const double> errors, std::size_t first, std::size_t count) {
    double best = 0;
    std::size_t at = first;
    for (std::size_t n = first; n < first + count && n < errors.size(); ++n)
        if (const double sum = energy(errors.subspan(n, std::min(order, errors.size() - n))); sum > best) {
            best = sum;
            at = n;
        }
    return {std::sqrt(best), at};
}

} // namespace

std::size_t clipped_samples(std::span<const double> samples, double rate_hz) {
    if (samples.empty())
        return 0;
    // Each sign has a top of its own: an amplifier may clip one of them, and converters differ by a step.
    const auto [low, high] = std::minmax_element(samples.begin(), samples.end());
    const double peak = std::max(-*low, *high), step = step_of(samples);
    if (peak < 1000 * step)
        return 0; // so few steps high that every slow wave has flat tops
    const std::size_t long_enough = frames(0.0005, rate_hz);
    std::size_t clipped = 0;
    for (std::size_t n = 0; n < samples.size();) {
        std::size_t end = n + 1;
        while (end < samples.size() && samples[end] == samples[n])
            ++end;
        const std::size_t run = end - n;
        const bool flat_top =
            run >= 3 && (samples[n] == *low || samples[n] == *high) && std::abs(samples[n]) > 0.3 * peak;
        const bool jump = n > 0 && std::abs(samples[n] - samples[n - 1]) > 0.02 * peak;
        if (flat_top &&
            (jump || run >= long_enough || hidden_height(samples, n, end) > 2.5 * step + 1e-4 * peak))
            clipped += run;
        n = end;
    }
    return clipped;
}

std::vector<std::size_t> breaks(std::span<const double> samples, double rate_hz) {
    const std::size_t block = std::max<std::size_t>(8 * order, frames(0.021, rate_hz));
    // In three parts: the error of a sweep's model grows towards the block's ends.
    const std::size_t part = (block - order) / 3;
    struct Part {
        double usual, greatest;
        std::size_t at;
    };
    std::vector<Part> parts;
    for (std::size_t start = 0; start + block <= samples.size(); start += 3 * part) {
        const auto errors = prediction_errors(samples.subspan(start, block));
        for (std::size_t p = 0; p < 3; ++p) {
            const std::span<const double> own(errors.data() + order + p * part, part);
            const auto [root, at] = densest(std::span(errors), order + p * part, part);
            parts.push_back({median_magnitude({own.begin(), own.end()}) / 0.67449, root, start + at});
        }
    }
    std::vector<std::size_t> found;
    // Where the noise is less than a step, errors are up to one step, now and then.
    const double least = 0.8 * step_of(samples);
    for (std::size_t p = 0; p < parts.size(); ++p) {
        // Neighbours count where samples were replaced by silence, which has no errors of its own.
        const double before = p > 0 ? parts[p - 1].usual : 0,
                     after = p + 1 < parts.size() ? parts[p + 1].usual : 0;
        const double usual = std::max({parts[p].usual, 0.5 * before, 0.5 * after, least});
        if (parts[p].greatest > break_over_scatter * usual &&
            (found.empty() || parts[p].at > found.back() + frames(0.1, rate_hz)))
            found.push_back(parts[p].at);
    }
    return found;
}

} // namespace ebbmark
