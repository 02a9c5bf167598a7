// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/sweep_line.hpp"

#include "signal/band_filter.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>
#include <vector>

namespace ebbmark {

namespace {

constexpr double lowest_hz = 25, highest_hz = 8000;
constexpr std::size_t line_bands = 10, octave = 3; // third octaves
constexpr double least_rise_s = 0.15, least_rise_in_filters = 2;
constexpr double least_correlation = 0.97, least_octave_step = 0.3;
constexpr double arrived = 0.25; // of the band's highest energy: a second sweep of the same level comes later

struct Arrival {
    double bandwidth_hz;
    double at_s;
};

double arrival_s(const BandEnvelope& envelope) {
    const double threshold = arrived * *std::max_element(envelope.energy.begin(), envelope.energy.end());
    const auto first = std::find_if(envelope.energy.begin(), envelope.energy.end(),
                                    [&](double energy) { return energy >= threshold; });
    // The filter runs backwards, so that its output is early.
    return envelope.start_s + envelope.step_s * static_cast<double>(first - envelope.energy.begin()) +
           envelope.group_delay_s;
}

/// Of the arrivals with their number.
double correlation(std::span<const Arrival> line) {
    const auto count = static_cast<double>(line.size());
    const double mean_number = (count - 1) / 2;
    const double mean_s = std::accumulate(line.begin(), line.end(), 0.0,
                                          [](double sum, const Arrival& a) { return sum + a.at_s; }) /
                          count;
    double both = 0, numbers = 0, times = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const double number = static_cast<double>(i) - mean_number, time = line[i].at_s - mean_s;
        both += number * time;
        numbers += number * number;
        times += time * time;
    }
    return times > 0 ? both / std::sqrt(numbers * times) : 0;
}

bool rises(std::span<const Arrival> line) {
    const double rise_s = line.back().at_s - line.front().at_s;
    if (rise_s < std::max(least_rise_s, least_rise_in_filters / line.front().bandwidth_hz))
        return false;
    const double mean_step_s = rise_s * static_cast<double>(octave) / static_cast<double>(line.size() - 1);
    for (std::size_t i = 0; i + octave < line.size(); ++i)
        if (line[i + octave].at_s - line[i].at_s < least_octave_step * mean_step_s)
            return false;
    return correlation(line) > least_correlation;
}

} // namespace

bool is_sweep_recording(const Signal& sound) {
    if (sound.duration_s() < least_rise_s)
        return false;
    const auto bands = bands_between(BandWidth::third, lowest_hz, std::min(highest_hz, 0.4 * sound.rate_hz));
    if (bands.size() < line_bands)
        return false;
    BandFilterBank bank(sound, bands.front().bandwidth_hz());
    std::vector<Arrival> arrivals;
    for (const Band& band : bands)
        arrivals.push_back({band.bandwidth_hz(), arrival_s(bank.envelope(band))});
    for (std::size_t from = 0; from + line_bands <= arrivals.size(); ++from)
        if (rises(std::span(arrivals).subspan(from, line_bands)))
            return true;
    return false;
}

} // namespace ebbmark
