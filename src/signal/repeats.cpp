// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/repeats.hpp"

#include "signal/compression.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace ebbmark {

namespace {

constexpr double search_ppm = 1000; // repeats are looked for this far from their place
constexpr double least_search_s = 0.02;
constexpr double likeness_s = 0.25; // of a response on both sides of its peak, for the lag
constexpr double early_s = 0.08;    // of a response, where repeats are compared

/// The highest sample within `reach` of a place, where it is at least half as high as `best`.
std::optional<std::size_t> peak_near(std::span<const double> divided, std::ptrdiff_t place,
                                     std::ptrdiff_t reach, double best) {
    const auto first = std::max<std::ptrdiff_t>(0, place - reach);
    const auto last =
        std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(divided.size()), place + reach + 1);
    if (first >= last)
        return {};
    const auto piece =
        divided.subspan(static_cast<std::size_t>(first), static_cast<std::size_t>(last - first));
    const std::size_t at = strongest(piece);
    if (std::abs(piece[at]) < 0.5 * best)
        return {};
    return static_cast<std::size_t>(first) + at;
}

/// Sum over the pieces of the energy of their difference from the mean, in [from, to).
double scattered_energy(const std::vector<std::vector<double>>& pieces, std::span<const double> mean,
                        std::size_t from, std::size_t to) {
    double sum = 0;
    for (const auto& piece : pieces)
        for (std::size_t n = from; n < to; ++n)
            sum += (piece[n] - mean[n]) * (piece[n] - mean[n]);
    return sum;
}

double variation_db(const std::vector<std::vector<double>>& pieces, std::span<const double> mean,
                    std::size_t lead, double rate_hz) {
    const std::size_t guard = frames(0.002, rate_hz);
    const std::size_t length = std::min({frames(early_s, rate_hz), lead > 2 * guard ? lead - 2 * guard : 0,
                                         mean.size() > lead ? mean.size() - lead : 0});
    const std::size_t start = lead - std::min(lead, guard);
    const double noise = scattered_energy(pieces, mean, start - length, start);
    const double all = scattered_energy(pieces, mean, start, start + length);
    const double beyond = all > 2 * noise ? all - noise : 0;
    const double whole = energy(mean.subspan(start, length));
    const double part = beyond / static_cast<double>(pieces.size() - 1) / std::max(whole, 1e-300);
    return 10 * std::log10(std::max(part, 1e-12));
}

} // namespace

std::vector<std::size_t> find_repeats(std::span<const double> divided, const Excitation& excitation,
                                      std::size_t length) {
    const double rate_hz = excitation.sweep.rate_hz;
    const auto searched = divided.first(length);
    const std::size_t best = strongest(searched);
    std::vector<std::size_t> peaks{best};
    for (const int direction : {-1, 1})
        for (int k = 1; k < excitation.repeats; ++k) {
            const double offset_s = direction * k * excitation.repeat_period_s;
            const double reach_s = std::max(least_search_s, std::abs(offset_s) * search_ppm * 1e-6);
            const auto found =
                peak_near(searched, static_cast<std::ptrdiff_t>(best) + std::llround(offset_s * rate_hz),
                          static_cast<std::ptrdiff_t>(frames(reach_s, rate_hz)), std::abs(divided[best]));
            if (!found || peaks.size() == static_cast<std::size_t>(excitation.repeats))
                break;
            peaks.push_back(*found);
        }
    std::sort(peaks.begin(), peaks.end());
    return peaks;
}

Places exact_places(std::span<const double> divided, const std::vector<std::size_t>& peaks,
                    const Excitation& excitation) {
    const std::size_t reach = frames(likeness_s, excitation.sweep.rate_hz);
    const auto around = [&](std::size_t peak) {
        return cut(divided, static_cast<std::ptrdiff_t>(peak) - static_cast<std::ptrdiff_t>(reach),
                   2 * reach);
    };
    const auto first = around(peaks.front());
    Places places{{static_cast<double>(peaks.front())}, {0}};
    for (std::size_t k = 1; k < peaks.size(); ++k) {
        const Alignment lag = align(first, around(peaks[k]), reach, excitation);
        places.samples.push_back(static_cast<double>(peaks[k]) + lag.lag_samples);
        places.stretch.push_back(lag.stretch);
    }
    return places;
}

double drift_of_repeats_ppm(const std::vector<double>& places, const Excitation& excitation) {
    const double period = excitation.repeat_period_s * excitation.sweep.rate_hz;
    std::vector<double> slopes;
    for (std::size_t i = 0; i < places.size(); ++i)
        for (std::size_t k = i + 1; k < places.size(); ++k) {
            const double span = places[k] - places[i];
            slopes.push_back(span / (std::round(span / period) * period) - 1);
        }
    std::sort(slopes.begin(), slopes.end());
    const std::size_t middle = slopes.size() / 2;
    return 1e6 * (slopes.size() % 2 == 1 ? slopes[middle] : 0.5 * (slopes[middle - 1] + slopes[middle]));
}

std::vector<std::size_t> undisturbed(std::size_t sweeps, const std::vector<Disturbance>& disturbances) {
    std::vector<double> worst(sweeps, 0);
    for (const Disturbance& d : disturbances)
        if (d.sweep >= 0 && !d.rattle_hz) // what every sweep has spoils none
            worst[static_cast<std::size_t>(d.sweep)] =
                std::max(worst[static_cast<std::size_t>(d.sweep)], d.above_noise_db);
    const double least = *std::min_element(worst.begin(), worst.end());
    std::vector<std::size_t> kept;
    for (std::size_t k = 0; k < sweeps; ++k)
        if (worst[k] == least)
            kept.push_back(k);
    return kept;
}

Averaged average_repeats(std::span<const double> divided, const Places& places, std::size_t lead,
                         std::size_t count, const Excitation& excitation) {
    const auto piece_at = [&](double place) {
        return cut(divided, std::llround(place) - static_cast<std::ptrdiff_t>(lead), count);
    };
    const auto& starts = places.samples;
    if (starts.size() == 1)
        return {piece_at(starts.front()), {}, 1};
    // Moved as little as possible, all to the place of the first.
    const double origin = starts.front() - std::round(starts.front());
    std::vector<std::vector<double>> pieces;
    for (std::size_t k = 0; k < starts.size(); ++k)
        pieces.push_back(aligned(
            piece_at(starts[k]), lead,
            {starts[k] - std::round(starts[k]) - origin, places.stretch[k] - places.stretch.front()}));
    std::vector<double> mean(count);
    for (const auto& piece : pieces)
        for (std::size_t n = 0; n < count; ++n)
            mean[n] += piece[n] / static_cast<double>(pieces.size());
    const double variation = variation_db(pieces, mean, lead, excitation.sweep.rate_hz);
    if (variation > most_variation_db)
        return {std::move(pieces.front()), variation, 1};
    return {std::move(mean), variation, static_cast<int>(pieces.size())};
}

} // namespace ebbmark
