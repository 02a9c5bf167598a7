// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/takes.hpp"

#include "base/error.hpp"
#include "signal/compression.hpp"
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

/// When sweeps start, in seconds, in order; `samples` at the rate of `low`.
std::vector<double> sweep_times(const std::vector<double>& samples, const Excitation& low,
                                const Excitation& excitation) {
    const double rate_hz = low.sweep.rate_hz;
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

std::vector<TakePart> parts_of(const std::vector<std::vector<double>>& groups, std::size_t length,
                               const Excitation& excitation) {
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
        const std::size_t first = std::min(frames(first_s, rate_hz), length);
        const std::size_t last = std::min(frames(last_s, rate_hz), length);
        parts.push_back({first, last - first, static_cast<int>(groups[g].size())});
    }
    return parts;
}

} // namespace

TakeSearch::TakeSearch(const Excitation& excitation) : excitation_(excitation), low_(lowered(excitation)) {
    if (low_.sweep.rate_hz != excitation.sweep.rate_hz)
        resampler_.emplace(excitation.sweep.rate_hz / low_.sweep.rate_hz);
}

void TakeSearch::add(std::span<const double> samples) {
    length_ += samples.size();
    if (resampler_)
        resampler_->add(samples, samples_);
    else
        samples_.insert(samples_.end(), samples.begin(), samples.end());
}

std::vector<TakePart> TakeSearch::takes() {
    if (resampler_)
        resampler_->finish(samples_);
    return parts_of(grouped(sweep_times(samples_, low_, excitation_), excitation_), length_, excitation_);
}

std::vector<TakePart> TakeSearch::takes(std::size_t wanted) {
    auto parts = takes();
    if (parts.size() == wanted)
        return parts;
    if (parts.empty())
        throw Error(ErrorKind::unusable,
                    "the sweep is not in the recording; check that --sweep describes what was played, and "
                    "that the microphone was connected and its gain up");
    std::string times;
    for (const TakePart& part : parts)
        times += fmt::format("{}{:.1f} s", times.empty() ? "near " : ", ",
                             static_cast<double>(part.first) / excitation_.sweep.rate_hz);
    throw Error(ErrorKind::unusable,
                fmt::format("{} {} found in the recording, {}, but {} {} given; name one position for each "
                            "take, in the order in which they were recorded, or cut the recording",
                            parts.size(), parts.size() == 1 ? "take was" : "takes were", times, wanted,
                            wanted == 1 ? "position was" : "positions were"));
}

std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation) {
    TakeSearch search(excitation);
    search.add(recording);
    return search.takes();
}

std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation,
                               std::size_t wanted) {
    TakeSearch search(excitation);
    search.add(recording);
    return search.takes(wanted);
}

bool is_long(double recording_s, const Excitation& excitation) {
    const double played_s =
        excitation.sweep.duration_s() + (excitation.repeats - 1) * excitation.repeat_period_s;
    return recording_s >= 2 * played_s + 15;
}

} // namespace ebbmark
