// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/takes.hpp"

#include "base/error.hpp"
#include "signal/compression.hpp"
#include "signal/resampling.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double low_rate_hz = 6000;
constexpr double kept_of_low_rate = 0.42; // of the sweep's band, below what resampling keeps
constexpr double least_of_loudest = 0.03;
constexpr double least_over_scatter = 12; // as for the sweep in a short recording
constexpr double block_s = 0.05;
constexpr double own_part = 0.7; // of a sweep or period on either side, in which only one sweep can start
constexpr double period_tolerance = 1e-3, period_slack_s = 0.05;
constexpr double before_s = 2, after_s = 10;

/// The sweep as far as the low rate carries it; the sweep itself where its rate is low or all of it is high.
Excitation lowered(const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const double wanted_hz = std::max(low_rate_hz, 16 * excitation.from_hz / kept_of_low_rate);
    if (wanted_hz >= rate_hz)
        return excitation;
    Excitation low = excitation;
    low.sweep = {resampled(excitation.sweep.samples, rate_hz / wanted_hz), wanted_hz};
    low.to_hz = std::min(excitation.to_hz, kept_of_low_rate * wanted_hz);
    return low;
}

/// When sweeps start, in seconds, in order.
std::vector<double> sweep_times(std::span<const double> recording, const Excitation& excitation) {
    const Excitation low = lowered(excitation);
    const double rate_hz = low.sweep.rate_hz;
    const auto samples = resampled(recording, excitation.sweep.rate_hz / rate_hz);
    Compressor compress(low, samples.size());
    auto divided = compress(samples);
    divided.resize(samples.size());
    const double least = least_over_scatter * scatter(divided);
    const std::size_t block = frames(block_s, rate_hz);
    std::vector<std::size_t> peaks;
    for (std::size_t start = 0; start < divided.size(); start += block)
        peaks.push_back(
            start + strongest(std::span(divided).subspan(start, std::min(block, divided.size() - start))));
    const auto height = [&](std::size_t peak) { return std::abs(divided[peak]); };
    std::stable_sort(peaks.begin(), peaks.end(),
                     [&](std::size_t a, std::size_t b) { return height(a) > height(b); });
    double own_s = excitation.sweep.duration_s();
    if (excitation.repeats > 1)
        own_s = std::min(own_s, excitation.repeat_period_s);
    std::vector<double> times;
    for (const std::size_t peak : peaks) {
        if (height(peak) < std::max(least, least_of_loudest * height(peaks.front())) || height(peak) == 0)
            break;
        const double time_s = static_cast<double>(peak) / rate_hz;
        if (std::none_of(times.begin(), times.end(),
                         [&](double other) { return std::abs(other - time_s) < own_part * own_s; }))
            times.push_back(time_s);
    }
    std::sort(times.begin(), times.end());
    return times;
}

std::vector<std::vector<double>> grouped(const std::vector<double>& times, const Excitation& excitation) {
    std::vector<std::vector<double>> groups;
    for (const double time_s : times) {
        const bool follows = !groups.empty() &&
                             groups.back().size() < static_cast<std::size_t>(excitation.repeats) &&
                             std::abs(time_s - groups.back().back() - excitation.repeat_period_s) <
                                 period_tolerance * excitation.repeat_period_s + period_slack_s;
        if (follows)
            groups.back().push_back(time_s);
        else
            groups.push_back({time_s});
    }
    return groups;
}

} // namespace

std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation) {
    const auto groups = grouped(sweep_times(recording, excitation), excitation);
    const double rate_hz = excitation.sweep.rate_hz, sweep_s = excitation.sweep.duration_s();
    std::vector<TakePart> parts;
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const double previous_end_s = g > 0 ? groups[g - 1].back() + sweep_s : -1e9;
        const double start_s = groups[g].front(), end_s = groups[g].back() + sweep_s;
        // Half of the silence between two takes belongs to each, but all of the earlier one's decay that
        // fits.
        const double first_s = std::max({0.0, start_s - before_s, 0.5 * (previous_end_s + start_s)});
        double last_s = end_s + after_s;
        if (g + 1 < groups.size())
            last_s = std::min(last_s, std::max(end_s, groups[g + 1].front() - 0.05));
        const std::size_t first = std::min(frames(first_s, rate_hz), recording.size());
        const std::size_t last = std::min(frames(last_s, rate_hz), recording.size());
        parts.push_back({first, last - first, static_cast<int>(groups[g].size())});
    }
    return parts;
}

std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation,
                               std::size_t wanted) {
    auto parts = takes_in(recording, excitation);
    if (parts.size() == wanted)
        return parts;
    std::string times;
    for (const TakePart& part : parts)
        times += fmt::format("{}{:.1f} s", times.empty() ? ", near " : ", ",
                             static_cast<double>(part.first) / excitation.sweep.rate_hz);
    throw Error(
        ErrorKind::unusable,
        fmt::format(
            "{} takes were found in the recording{}, but {} positions were given; name one position for "
            "each take, in the order in which they were recorded, or cut the recording",
            parts.size(), times, wanted));
}

} // namespace ebbmark
