// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/disturbance_effect.hpp"

#include "signal/band_filter.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>
#include <span>

namespace ebbmark {

namespace {

// A sound that has fallen by 20 dB between the bands in which it was seen is narrow, a hum or a tone.
constexpr double narrow = 0.01;
// From here on a sound after the decay counts: by less its strength is not known where the sweep hides it
// (real sweeps, whose T20 the authors' own responses confirm, show up to 1.5 %).
constexpr double strong_percent = 5;
constexpr double from_hz = 25, to_hz = 8000;
constexpr double seen_within_octaves = 3.5; // as wide as the sweep's harmonics hide other sounds

double mean(std::span<const double> energies) {
    return std::accumulate(energies.begin(), energies.end(), 0.0) /
           std::max(1.0, static_cast<double>(energies.size()));
}

/// T20 of energies by least squares from −5 to −25 dB, the noise taken out.
std::optional<double> t20_s(std::span<const double> energies, double noise, double step_s) {
    const std::size_t end = energies.size();
    if (end < 20)
        return {};
    double left = 0;
    std::vector<double> curve(end);
    for (std::size_t n = end; n-- > 0;)
        curve[n] = left = left + energies[n] - noise;
    double count = 0, t = 0, tt = 0, y = 0, ty = 0;
    for (std::size_t n = 0; n < end; ++n) {
        if (curve[n] <= 0 || curve[n] < curve[0] * std::pow(10, -2.5))
            break;
        const double level_db = 10 * std::log10(curve[n] / curve[0]);
        if (level_db > -5)
            continue;
        const double time_s = static_cast<double>(n) * step_s;
        ++count, t += time_s, tt += time_s * time_s, y += level_db, ty += time_s * level_db;
    }
    const double slope = (count * ty - t * y) / (count * tt - t * t);
    return count >= 3 && slope < 0 ? std::optional(-60 / slope) : std::nullopt;
}

double octaves_between(const DisturbedCell& cell, const Band& band) {
    return std::max({0.0, std::log2(cell.from_hz / band.upper_hz), std::log2(band.lower_hz / cell.to_hz)});
}

/// The part of the sweep's energy in a band that a sound had in it at one time: where it was seen nearest. A
/// narrow sound goes on falling towards the band as it did from its strongest cell on that side.
double part_at(std::span<const DisturbedCell> cells, const Band& band) {
    double nearest = seen_within_octaves;
    const DisturbedCell* near = nullptr;
    for (const DisturbedCell& cell : cells) {
        const double octaves = octaves_between(cell, band);
        if (octaves < nearest || (near != nullptr && octaves == nearest && cell.part > near->part))
            nearest = octaves, near = &cell;
    }
    if (near == nullptr)
        return 0;
    const auto beyond = [&](const DisturbedCell& cell) {
        return near->to_hz < band.lower_hz ? cell.to_hz < near->to_hz : cell.from_hz > near->from_hz;
    };
    const DisturbedCell* strongest = near;
    for (const DisturbedCell& cell : cells)
        if (beyond(cell) && cell.part > strongest->part)
            strongest = &cell;
    const double fallen_octaves = octaves_between(*strongest, band) - nearest;
    const double fall = near->part / strongest->part;
    return fallen_octaves > 0 && fall < narrow ? near->part * std::pow(fall, nearest / fallen_octaves)
                                               : near->part;
}

/// What the disturbances put into a band's energies after the arrival, as parts of the response's energy.
std::vector<double> added_parts(const std::vector<Disturbance>& disturbances, const Band& band,
                                std::size_t count, double step_s, const Excitation& excitation) {
    const double constant_s = excitation.harmonic_lead_s / std::numbers::ln2;
    const auto passed_s = [&](double hz) { return constant_s * std::log(hz / excitation.from_hz); };
    std::vector<double> added(count);
    for (const Disturbance& disturbance : disturbances) {
        const auto& cells = disturbance.cells;
        for (auto from = cells.begin(), to = from; from != cells.end(); from = to) {
            to = std::find_if(from, cells.end(),
                              [&](const DisturbedCell& cell) { return cell.after_s != from->after_s; });
            const double first_s = from->after_s - passed_s(band.upper_hz);
            const double length_s = std::max(passed_s(band.upper_hz) - passed_s(band.lower_hz), step_s);
            if (first_s + length_s < 0 || first_s > static_cast<double>(count) * step_s)
                continue;
            const double part = part_at(std::span(from, to), band);
            for (std::size_t n = 0; n < count; ++n) {
                const double time_s = static_cast<double>(n) * step_s;
                if (time_s >= first_s && time_s < first_s + length_s)
                    added[n] += part * step_s / length_s;
            }
        }
    }
    return added;
}

/// By how much T20 of `energies` would move with or without `added` times `unit`.
double percent_moved(std::span<const double> energies, std::span<const double> added, double unit,
                     double noise, double step_s) {
    const auto before = t20_s(energies, noise, step_s);
    if (!before)
        return 0;
    std::vector<double> more(energies.begin(), energies.end()), less = more;
    for (std::size_t n = 0; n < energies.size(); ++n) {
        more[n] += added[n] * unit;
        less[n] = std::max(0.0, less[n] - added[n] * unit);
    }
    double percent = 0;
    for (const auto& changed : {more, less})
        if (const auto after = t20_s(changed, noise, step_s))
            percent = std::max(percent, 100 * std::abs(*after / *before - 1));
    return percent;
}

} // namespace

std::vector<MovedBand> moved_by(const std::vector<Disturbance>& disturbances, const Signal& response,
                                double lead_s, std::size_t used, const Excitation& excitation) {
    std::vector<MovedBand> moved;
    const auto bands = bands_between(BandWidth::third, from_hz, to_hz);
    if (disturbances.empty() || bands.empty())
        return moved;
    BandFilterBank bank(response, bands.front().bandwidth_hz());
    for (const Band& band : bands) {
        if (band.lower_hz < excitation.from_hz || band.upper_hz > excitation.to_hz ||
            band.upper_hz > 0.4 * response.rate_hz)
            continue;
        const BandEnvelope& envelope = bank.envelope(band);
        const std::size_t start =
            std::min(frames(lead_s - envelope.start_s - envelope.group_delay_s, 1 / envelope.step_s),
                     envelope.energy.size());
        const auto energies = std::span(envelope.energy).subspan(start);
        const std::size_t tail = energies.size() * 9 / 10;
        const double noise = mean(energies.subspan(tail));
        const auto roughly = t20_s(energies.first(tail), noise, envelope.step_s);
        if (!roughly)
            continue;
        const double whole = std::accumulate(energies.begin(), energies.end(), 0.0);
        const auto added = added_parts(disturbances, band, tail, envelope.step_s, excitation);
        const double unit = whole / static_cast<double>(used * used);
        // An evaluation ends where the decay meets the noise: what comes a whole decay time after the arrival
        // is not in it, unless it is so strong that it is taken for the decay's own end.
        const std::size_t decay = std::min(tail, frames(*roughly, 1 / envelope.step_s));
        double percent = percent_moved(energies.first(decay), added, unit, noise, envelope.step_s);
        const double by_all = percent_moved(energies.first(tail), added, unit, noise, envelope.step_s);
        if (by_all >= strong_percent)
            percent = std::max(percent, by_all);
        moved.push_back({band, percent});
    }
    return moved;
}

} // namespace ebbmark
