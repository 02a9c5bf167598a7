// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/average.hpp"

#include "base/normal.hpp"
#include "base/student.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace ebbmark {

namespace {

struct Mean {
    Measured value;
    int count = 0;
    double deviation = 0; ///< between positions, n − 1
};

Mean mean_of(const std::vector<ResponseDecay>& positions, std::size_t index, Measured BandDecay::*quantity) {
    Mean mean;
    double sum = 0, squares = 0;
    for (const ResponseDecay& position : positions)
        if (const Measured& measured = position.bands[index].*quantity) {
            ++mean.count;
            sum += *measured;
            mean.value = measured;
        }
    if (mean.count == 0) {
        mean.value = positions.front().bands[index].*quantity;
        return mean;
    }
    if (mean.count == 1)
        return mean;
    const double average = sum / mean.count;
    for (const ResponseDecay& position : positions)
        if (const Measured& measured = position.bands[index].*quantity)
            squares += (*measured - average) * (*measured - average);
    mean.deviation = std::sqrt(squares / (mean.count - 1));
    // A factor rather than a difference: the low end stays above 0 also with two positions that disagree.
    const double half =
        student_two_sided(0.95, mean.count - 1) * mean.deviation / std::sqrt(mean.count) / average;
    mean.value = {average, average * std::exp(-half), average * std::exp(half), {}};
    return mean;
}

double level_at(const std::vector<DecayPoint>& curve, double time_s) {
    const auto after = std::lower_bound(curve.begin(), curve.end(), time_s,
                                        [](const DecayPoint& point, double t) { return point.time_s < t; });
    if (after == curve.begin())
        return curve.front().level_db;
    const DecayPoint &a = *(after - 1), &b = after == curve.end() ? curve.back() : *after;
    return b.time_s > a.time_s
               ? a.level_db + (b.level_db - a.level_db) * (time_s - a.time_s) / (b.time_s - a.time_s)
               : b.level_db;
}

// Only positions whose curve reaches 30 dB down, and only as long as all of them last.
std::optional<double> ensemble_t20(const std::vector<ResponseDecay>& positions, std::size_t index) {
    std::vector<const std::vector<DecayPoint>*> curves;
    double end_s = 1e9;
    for (const ResponseDecay& position : positions)
        if (position.bands[index].t20_s) {
            curves.push_back(&position.bands[index].curve);
            end_s = std::min(end_s, curves.back()->empty() ? 0.0 : curves.back()->back().time_s);
        }
    if (curves.size() < 2 || !(end_s > 0))
        return std::nullopt;
    constexpr int points = 1000;
    double n = 0, st = 0, sl = 0, stt = 0, stl = 0, least_db = 0;
    for (int i = 0; i < points; ++i) {
        const double t = end_s * i / points;
        double energy = 0;
        for (const auto* curve : curves)
            energy += std::pow(10, level_at(*curve, t) / 10) / static_cast<double>(curves.size());
        const double level = 10 * std::log10(energy);
        least_db = std::min(least_db, level);
        if (level <= -5 && level >= -25)
            n += 1, st += t, sl += level, stt += t * t, stl += t * level;
    }
    const double slope_part = n * stl - st * sl;
    if (n < 10 || !(slope_part < 0) || least_db > -25)
        return std::nullopt;
    return -60 * (n * stt - st * st) / slope_part;
}

} // namespace

Measured t20_at_places(const std::vector<ResponseDecay>& positions, std::size_t band, double deviation) {
    double sum = 0, count = 0;
    for (const ResponseDecay& position : positions)
        if (band < position.bands.size() && position.bands[band].t20_s)
            sum += std::log(*position.bands[band].t20_s), count += 1;
    if (count == 0)
        return positions.front().bands[band].t20_s;
    const double mean = sum / count, half = normal_two_sided_95 * deviation / std::sqrt(count);
    return {std::exp(mean), std::exp(mean - half), std::exp(mean + half), {}};
}

const Measured& leading_decay(const BandAverage& average) {
    return average.t30_s && average.t30_positions >= average.t20_positions ? average.t30_s : average.t20_s;
}

std::vector<BandAverage> average_over_positions(const std::vector<ResponseDecay>& positions) {
    if (positions.empty())
        throw std::invalid_argument("no positions to average");
    const auto& first = positions.front().bands;
    for (const ResponseDecay& position : positions)
        if (!std::equal(position.bands.begin(), position.bands.end(), first.begin(), first.end(),
                        [](const BandDecay& a, const BandDecay& b) { return a.band == b.band; }))
            throw std::invalid_argument("positions with different bands");
    std::vector<BandAverage> averages;
    for (std::size_t index = 0; index < first.size(); ++index) {
        BandAverage average;
        average.band = first[index].band;
        const Mean t20 = mean_of(positions, index, &BandDecay::t20_s);
        const Mean t30 = mean_of(positions, index, &BandDecay::t30_s);
        average.t20_s = t20.value, average.t20_positions = t20.count;
        average.t30_s = t30.value, average.t30_positions = t30.count;
        if (t20.count > 1)
            average.spread_percent = 100 * t20.deviation / *t20.value;
        average.ensemble_t20_s = ensemble_t20(positions, index);
        averages.push_back(average);
    }
    return averages;
}

} // namespace ebbmark
