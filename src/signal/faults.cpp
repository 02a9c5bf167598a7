// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/faults.hpp"

#include "base/normal.hpp"
#include "base/order_statistics.hpp"
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
    return upper_median(std::move(values));
}

// A break throws the model off for as many samples as it looks back. The energy of that many errors in
// Gaussian noise, 24 times that of one, passes 110 times it once in 1e12 samples. Real noise, all the more
// where a recorder gates it, is restless: the limit is then its own. Chosen on recordings of real rooms
// without breaks, of which the calmest has 8.0 and the most restless 12 at the hundredth part.
constexpr double break_over_usual = 10.5;
constexpr double break_over_restless = 1.25;
constexpr double steady_over_usual = 8.3;
// Energy of the errors over that of the samples before, for as long: a break comes at once, a sound swells.
constexpr double sudden_in_steady = 4.2, sudden_in_restless = 8;

/// A third of a block. Of each kind of break the root of the energy of `order` errors in a row, and where
/// they start.
struct Part {
    struct Greatest {
        double root = 0;
        std::size_t at = 0;
    };
    double own = 0;   ///< scatter of its errors, by their median
    double usual = 0; ///< the same with what surrounds it
    Greatest any, sudden, very_sudden;
};

Part judged(std::span<const double> errors, std::size_t first, std::size_t count, std::size_t start) {
    Part part;
    part.own = median_magnitude({errors.begin() + static_cast<std::ptrdiff_t>(first),
                                 errors.begin() + static_cast<std::ptrdiff_t>(first + count)}) /
               normal_median_magnitude;
    const auto take = [start](Part::Greatest& greatest, double energy, std::size_t n) {
        if (energy > greatest.root * greatest.root)
            greatest = {std::sqrt(energy), start + n};
    };
    std::vector<double> until(errors.size() + 1, 0.0); // energy before each sample
    for (std::size_t n = 0; n < errors.size(); ++n)
        until[n + 1] = until[n] + errors[n] * errors[n];
    for (std::size_t n = first; n < first + count; ++n) {
        const double after = until[std::min(n + order, errors.size())] - until[n];
        const std::size_t back =
            std::min(n - order, 2 * order); // the first errors are those of the model's own start
        const double before =
            (until[n] - until[n - back]) * static_cast<double>(order) / static_cast<double>(back);
        take(part.any, after, n);
        if (after > sudden_in_steady * before)
            take(part.sudden, after, n);
        if (after > sudden_in_restless * before)
            take(part.very_sudden, after, n);
    }
    return part;
}

/// What one part in a hundred passes, in usual errors.
double restless_over_usual(const std::vector<Part>& parts) {
    std::vector<double> values;
    for (const Part& part : parts)
        if (part.usual > 0)
            values.push_back(part.any.root / part.usual);
    const std::size_t rank = values.size() * 99 / 100;
    return values.empty() ? 0 : order_statistic(std::move(values), rank);
}

/// Where the samples stand still although the noise around does not: 16 equal ones in a row come about by
/// chance once in 1e8 samples where the noise is two steps or more. `parts` follow each other by `length`
/// samples.
std::vector<std::size_t> held_runs(std::span<const double> samples, const std::vector<Part>& parts,
                                   std::size_t length, double step) {
    constexpr std::size_t least_run = 16;
    const auto noise_at = [&](std::size_t n) {
        const std::size_t p = n > 2 * order ? (n - 2 * order) / length : 0;
        return p < parts.size() ? parts[p].own : 0;
    };
    std::vector<std::size_t> found;
    for (std::size_t n = 0; n < samples.size();) {
        std::size_t end = n + 1;
        while (end < samples.size() && samples[end] == samples[n])
            ++end;
        // The parts before and after: in the run's own there may be nothing else.
        if (end - n >= least_run && n >= length && noise_at(n - length) >= 2 * step &&
            noise_at(end + length) >= 2 * step)
            found.push_back(n);
        n = end;
    }
    return found;
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
    const std::size_t third = (block - 2 * order) / 3;
    std::vector<Part> parts;
    for (std::size_t start = 0; start + block <= samples.size(); start += 3 * third) {
        const auto errors = prediction_errors(samples.subspan(start, block));
        for (std::size_t p = 0; p < 3; ++p)
            parts.push_back(judged(errors, 2 * order + p * third, third, start));
    }
    // Where the noise is less than a step, errors are up to one step, now and then.
    const double step = step_of(samples), least = 0.8 * step;
    for (std::size_t p = 0; p < parts.size(); ++p) {
        // Neighbours count where samples were replaced by silence, which has no errors of its own.
        const double before = p > 0 ? parts[p - 1].own : 0;
        const double after = p + 1 < parts.size() ? parts[p + 1].own : 0;
        parts[p].usual = std::max({parts[p].own, 0.5 * before, 0.5 * after, least});
    }
    const double restless = restless_over_usual(parts);
    auto found = held_runs(samples, parts, third, step);
    const bool steady = restless < steady_over_usual;
    const double limit = std::max(break_over_usual, break_over_restless * restless);
    for (const Part& part : parts) {
        const Part::Greatest& greatest = steady ? part.sudden : part.very_sudden;
        if (greatest.root > limit * part.usual)
            found.push_back(greatest.at);
    }
    std::sort(found.begin(), found.end());
    const auto near = [&](std::size_t a, std::size_t b) { return b <= a + frames(0.1, rate_hz); };
    found.erase(std::unique(found.begin(), found.end(), near), found.end());
    return found;
}

} // namespace ebbmark
