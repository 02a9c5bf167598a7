// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/faults.hpp"

#include "signal/samples.hpp"

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

} // namespace

std::size_t clipped_samples(std::span<const double> samples, double rate_hz) {
    if (samples.empty())
        return 0;
    const double peak = std::abs(samples[strongest(samples)]);
    if (peak < 1000 * step_of(samples))
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
        if (flat_top && (jump || run >= long_enough))
            clipped += run;
        n = end;
    }
    return clipped;
}

} // namespace ebbmark
