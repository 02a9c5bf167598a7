// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/faults.hpp"

#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Smallest difference between neighbours: the step of an integer recording.
double step_of(std::span<const double> samples) {
    double step = INFINITY;
    for (std::size_t n = 1; n < samples.size(); ++n)
        if (const double difference = std::abs(samples[n] - samples[n - 1]); difference > 0)
            step = std::min(step, difference);
    return step;
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

// Errors of Gaussian noise pass 8 times their scatter once in 1e15 samples; the rest is for a sweep that
// leaves the model behind within a block.
constexpr double break_over_scatter = 12;

} // namespace

std::size_t clipped_samples(std::span<const double> samples, double rate_hz) {
    if (samples.empty())
        return 0;
    const double peak = std::abs(samples[strongest(samples)]);
    const double step = step_of(samples);
    if (peak < 1000 * step)
        return 0; // so few steps high that every slow wave has flat tops
    // Converters and file formats differ by one step between the two signs.
    const double at_peak = peak * (1 - 1.0 / 16384);
    const std::size_t long_enough = frames(0.0005, rate_hz);
    std::size_t clipped = 0;
    for (std::size_t n = 0; n < samples.size();) {
        std::size_t end = n + 1;
        while (end < samples.size() && samples[end] == samples[n])
            ++end;
        const std::size_t run = end - n;
        const bool flat_top = std::abs(samples[n]) >= at_peak && run >= 3;
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
            const std::size_t at = strongest(own);
            parts.push_back({median_magnitude({own.begin(), own.end()}) / 0.67449, std::abs(own[at]),
                             start + order + p * part + at});
        }
    }
    std::vector<std::size_t> found;
    const double least = 0.5 * step_of(samples); // of rounding, where noise is less
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
