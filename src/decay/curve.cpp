// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/curve.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace ebbmark {

namespace {

// What lies before the onset because the filter runs backwards: 40 dB of its ringing.
constexpr double lead_bandwidth_times = 3;

// A line is fitted to at most this many points in the middles of equal stretches; the curve is smooth
// between.
constexpr std::size_t most_points_of_a_line = 400;

} // namespace

double EnergyCurve::at(double time_s) const {
    const double place = time_s / step_s + static_cast<double>(lead);
    if (place <= 0)
        return remaining.front();
    const auto last = remaining.size() - 1;
    if (place >= static_cast<double>(last))
        return tail_energy * std::exp(-tail_rate_per_s * (place - static_cast<double>(last)) * step_s);
    const auto index = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(index);
    const double from = remaining[index], to = remaining[index + 1];
    if (!(from > 0 && to > 0))
        return from + part * (to - from);
    return from * std::pow(to / from, part);
}

EnergyCurve integrate_backwards(const BandEnergy& band, const Tail& tail, std::vector<double> storage) {
    EnergyCurve curve;
    curve.remaining = std::move(storage);
    curve.step_s = band.step_s;
    const auto wanted_lead = static_cast<std::size_t>(lead_bandwidth_times / band.bandwidth_hz / band.step_s);
    curve.lead = std::min(band.onset, wanted_lead);
    const auto truncation = std::clamp<std::size_t>(
        band.onset + static_cast<std::size_t>(tail.truncation_s / band.step_s), band.onset + 1, band.end);
    curve.tail_rate_per_s = tail.rate_per_s;
    // The decay's level at the sample where the sum ends.
    const double end_s = static_cast<double>(truncation - band.onset) * band.step_s;
    curve.tail_energy =
        tail.level * std::exp(tail.rate_per_s * (tail.truncation_s - end_s)) / tail.rate_per_s;
    const std::size_t first = band.onset - curve.lead;
    curve.remaining.resize(truncation - first + 1);
    double sum = curve.tail_energy;
    curve.remaining.back() = sum;
    for (std::size_t i = truncation; i-- > first;) {
        sum += (band.energy[i] - tail.noise) * band.step_s;
        curve.remaining[i - first] = sum;
    }
    curve.start = curve.remaining.front();
    curve.range_db =
        10 * std::log10(std::max(curve.start, 1e-300) / std::max(tail.level / tail.rate_per_s, 1e-300));
    return curve;
}

std::optional<Line> fit_line(const EnergyCurve& curve, double upper_db, double lower_db) {
    const auto values = curve.after_onset();
    const double upper = curve.start * std::pow(10, upper_db / 10);
    const double lower = curve.start * std::pow(10, lower_db / 10);
    const auto from = std::find_if(values.begin(), values.end(), [&](double e) { return e <= upper; });
    const auto to = std::find_if(from, values.end(), [&](double e) { return e < lower; });
    if (to == values.end() || to - from < 3)
        return std::nullopt;
    const auto count = static_cast<std::size_t>(to - from);
    const std::size_t points = std::min(count, most_points_of_a_line);
    double n = 0, st = 0, sl = 0, stt = 0, stl = 0, sll = 0;
    for (std::size_t point = 0; point < points; ++point) {
        const std::size_t i = (2 * point + 1) * count / (2 * points);
        const double energy = from[static_cast<std::ptrdiff_t>(i)];
        if (!(energy > 0))
            return std::nullopt;
        const double t = static_cast<double>(i);
        const double l = 10 * std::log10(energy / curve.start);
        n += 1, st += t, sl += l, stt += t * t, stl += t * l, sll += l * l;
    }
    const double tt = stt - st * st / n, tl = stl - st * sl / n, ll = sll - sl * sl / n;
    if (!(n >= 3 && tl < 0 && ll > 0))
        return std::nullopt;
    const double slope = tl / tt / curve.step_s;
    Line line;
    line.decay_s = -60 / slope;
    line.nonlinearity_permille = std::max(0.0, 1000 * (1 - tl * tl / (tt * ll)));
    line.from_s = static_cast<double>(from - values.begin()) * curve.step_s;
    line.to_s = static_cast<double>(to - values.begin()) * curve.step_s;
    line.level_at_onset_db = sl / n - slope * (line.from_s + st / n * curve.step_s);
    return line;
}

} // namespace ebbmark
