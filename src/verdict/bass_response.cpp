// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/bass_response.hpp"

#include "decay/onset.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"
#include "verdict/statistics.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double lowest_hz = 20, highest_hz = 200, steps_per_octave = 24;
constexpr double window_s = 2, fade_s = 0.5;
constexpr double alike_db = 1;
/// Samples of the spectrum per smoothing window at the lowest frequency: the window's ends fall between two.
constexpr double least_bins = 16;

double half_window() {
    return std::exp2(bass_smoothing_octaves / 2);
}

/// From the onset on, faded out at the end.
std::vector<double> windowed(const Signal& response) {
    const std::size_t from = std::min(frames(find_onset_s(response), response.rate_hz), response.size());
    const std::size_t count = std::min(frames(window_s, response.rate_hz), response.size() - from);
    const std::size_t fade = std::min(frames(fade_s, response.rate_hz), count);
    std::vector<double> samples(response.samples.begin() + static_cast<std::ptrdiff_t>(from),
                                response.samples.begin() + static_cast<std::ptrdiff_t>(from + count));
    for (std::size_t i = 0; i < fade; ++i)
        samples[count - fade + i] *=
            0.5 * (1 + std::cos(std::numbers::pi * static_cast<double>(i + 1) / static_cast<double>(fade)));
    return samples;
}

std::vector<double> level_about_mean(const std::vector<double>& power) {
    std::vector<double> level;
    for (const double p : power)
        level.push_back(10 * std::log10(std::max(p, 1e-300)));
    const double mean = sample_mean(level);
    for (double& value : level)
        value -= mean;
    return level;
}

std::vector<std::vector<double>> levels_of(const std::vector<std::vector<double>>& powers) {
    std::vector<std::vector<double>> levels;
    for (const auto& power : powers)
        levels.push_back(level_about_mean(power));
    return levels;
}

std::vector<BassEvenness> evenness_of(const std::vector<double>& hz,
                                      const std::vector<std::vector<double>>& levels) {
    std::vector<BassEvenness> all;
    for (const auto& level : levels) {
        const auto [low, high] = std::minmax_element(level.begin(), level.end());
        const auto at = [&](auto where) {
            return BassExtreme{hz[static_cast<std::size_t>(where - level.begin())], *where};
        };
        all.push_back({at(high), at(low), std::sqrt(spread_of(level).variance)});
    }
    return all;
}

double mean_unevenness(const std::vector<BassEvenness>& places) {
    double sum = 0;
    for (const BassEvenness& place : places)
        sum += place.unevenness_db;
    return sum / static_cast<double>(places.size());
}

std::optional<double> spread_between(const std::vector<std::vector<double>>& levels) {
    if (levels.size() < 2)
        return {};
    double sum = 0;
    for (std::size_t f = 0; f < levels.front().size(); ++f) {
        std::vector<double> at;
        for (const auto& level : levels)
            at.push_back(level[f]);
        sum += std::sqrt(spread_of(at).variance);
    }
    return sum / static_cast<double>(levels.front().size());
}

} // namespace

std::vector<double> bass_frequencies(double source_from_hz, double source_to_hz) {
    const double from = std::max(lowest_hz, source_from_hz * half_window());
    const double to = std::min(highest_hz, source_to_hz / half_window());
    std::vector<double> hz;
    // Always the same grid, so that different sources share their frequencies.
    for (int step = 0;; ++step) {
        const double f = lowest_hz * std::exp2(step / steps_per_octave);
        if (f > to * (1 + 1e-9))
            return hz;
        if (f >= from * (1 - 1e-9))
            hz.push_back(f);
    }
}

std::vector<double> bass_power(const Signal& response, const std::vector<double>& frequencies_hz) {
    const auto samples = windowed(response);
    const double widest_bin_hz = lowest_hz * (half_window() - 1 / half_window()) / least_bins;
    const auto least = static_cast<std::size_t>(std::ceil(response.rate_hz / widest_bin_hz));
    RealFft fft(fast_fft_size(std::max(least, std::max<std::size_t>(samples.size(), 2))));
    const auto spectrum = fft.spectrum_of(samples);
    const double bin_hz = response.rate_hz / static_cast<double>(fft.size());
    std::vector<double> powers;
    for (const double hz : frequencies_hz) {
        const auto from = static_cast<std::size_t>(std::ceil(hz / half_window() / bin_hz));
        const auto to = std::min(static_cast<std::size_t>(hz * half_window() / bin_hz), fft.bins() - 1);
        double sum = 0;
        for (std::size_t bin = from; bin <= to; ++bin)
            sum += std::norm(spectrum[bin]);
        powers.push_back(from <= to ? sum / static_cast<double>(to - from + 1) : 0);
    }
    return powers;
}

bool alike_in_bass(const std::vector<double>& power, const std::vector<double>& other) {
    const auto first = level_about_mean(power), second = level_about_mean(other);
    double squares = 0;
    for (std::size_t f = 0; f < first.size(); ++f)
        squares += (first[f] - second[f]) * (first[f] - second[f]);
    return squares <= alike_db * alike_db * static_cast<double>(first.size());
}

BassResponseChange bass_response_change(const std::vector<double>& frequencies_hz,
                                        const std::vector<std::vector<double>>& before,
                                        const std::vector<std::vector<double>>& after) {
    assert(!before.empty() && before.size() == after.size() && frequencies_hz.size() >= 2);
    const auto first = levels_of(before), second = levels_of(after);
    BassResponseChange change;
    change.from_hz = frequencies_hz.front();
    change.to_hz = frequencies_hz.back();
    change.before = evenness_of(frequencies_hz, first);
    change.after = evenness_of(frequencies_hz, second);
    change.unevenness_before_db = mean_unevenness(change.before);
    change.unevenness_after_db = mean_unevenness(change.after);
    change.spread_before_db = spread_between(first);
    change.spread_after_db = spread_between(second);
    std::vector<double> differences;
    for (std::size_t i = 0; i < before.size(); ++i)
        differences.push_back(change.after[i].unevenness_db - change.before[i].unevenness_db);
    change.unevenness_change_db = Measured::of(sample_mean(differences));
    if (differences.size() > 1) {
        const double half = half_width(mean_of(differences), 0.95);
        change.unevenness_change_db.low = *change.unevenness_change_db - half;
        change.unevenness_change_db.high = *change.unevenness_change_db + half;
    }
    return change;
}

} // namespace ebbmark
