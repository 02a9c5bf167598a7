// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/drift.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Bands of one pair of visits with their parts in a mean, sum 1.
struct Part {
    MeanEstimate change;
    double weight = 0;
};

/// Square of their weighted mean, less what measuring again explains; 0 at least.
double common_square(const std::vector<Part>& parts) {
    double mean = 0, noise = 0;
    for (const Part& part : parts) {
        mean += part.weight * part.change.mean;
        noise += std::pow(part.weight * part.change.standard_error, 2);
    }
    return std::max(0.0, mean * mean - noise);
}

/// The bands wanted, evenly.
template <typename Wanted>
std::vector<Part> evenly(const UntouchedChange& pair, Wanted wanted) {
    std::vector<Part> parts;
    for (const BandChange& change : pair.changes)
        if (change.here && wanted(change.values.band))
            parts.push_back({*change.here, 0});
    for (Part& part : parts)
        part.weight = 1.0 / static_cast<double>(parts.size());
    return parts;
}

/// All bands, those known better counting more.
std::vector<Part> all_bands(const UntouchedChange& pair) {
    std::vector<Part> parts = evenly(pair, [](const Band&) { return true; });
    double sum = 0;
    for (Part& part : parts)
        sum += part.weight = 1 / std::max(std::pow(part.change.standard_error, 2), 1e-12);
    for (Part& part : parts)
        part.weight /= sum;
    return parts;
}

bool is_near(const Band& one, const Band& other) {
    const int octave = one.width == BandWidth::octave ? 1 : 3;
    return one.width == other.width && std::abs(one.index - other.index) <= octave;
}

/// What each band has of its own, over all bands and pairs: of neighbours the half squared difference, so
/// that what moves with frequency is no part of it; those known better count more.
Spread own_variance(std::span<const UntouchedChange> untouched) {
    double sum = 0, weights = 0, squares = 0;
    for (const UntouchedChange& pair : untouched) {
        const auto parts = all_bands(pair);
        for (std::size_t i = 0; i + 1 < parts.size(); ++i) {
            const MeanEstimate &low = parts[i].change, &high = parts[i + 1].change;
            const double noise = std::pow(low.standard_error, 2) + std::pow(high.standard_error, 2);
            const double weight = 1 / std::max(noise, 1e-12);
            sum += weight * 0.5 * (std::pow(high.mean - low.mean, 2) - noise);
            weights += weight;
            squares += weight * weight;
        }
    }
    // Successive differences know two thirds as much as so many independent values.
    return weights > 0 ? Spread{std::max(0.0, sum / weights), 2.0 / 3 * weights * weights / squares}
                       : Spread{};
}

/// `share_of_own`: the part that the bands' own variance has in what is asked; `common` of one pair each.
Spread together(std::span<const UntouchedChange> untouched, const std::vector<double>& common,
                double share_of_own) {
    std::vector<Spread> terms;
    const auto pairs = static_cast<double>(common.size());
    double square = 0;
    for (const double one : common)
        square += one / pairs;
    if (square > 0)
        terms.push_back({square, pairs});
    if (const Spread own = own_variance(untouched); own.variance > 0)
        terms.push_back({share_of_own * own.variance, own.degrees_of_freedom});
    return terms.empty() ? Spread{} : sum_of(terms);
}

} // namespace

Spread drift_of_band(std::span<const UntouchedChange> untouched, const Band& band) {
    std::vector<double> common;
    for (const UntouchedChange& pair : untouched)
        common.push_back(
            std::max(common_square(all_bands(pair)),
                     common_square(evenly(pair, [&](const Band& other) { return is_near(other, band); }))));
    return together(untouched, common, 1);
}

Spread drift_of_mean(std::span<const UntouchedChange> untouched, const std::vector<BandChange>& bands,
                     const QuestionChange& of) {
    double squares = 0;
    for (const double weight : of.weights)
        squares += weight * weight;
    std::vector<double> common;
    for (const UntouchedChange& pair : untouched) {
        std::vector<Part> parts;
        double sum = 0;
        for (std::size_t i = 0; i < of.bands.size(); ++i)
            for (const BandChange& change : pair.changes)
                if (change.here && change.values.band == bands[of.bands[i]].values.band) {
                    parts.push_back({*change.here, of.weights[i]});
                    sum += of.weights[i];
                }
        for (Part& part : parts)
            part.weight /= sum;
        common.push_back(std::max(common_square(all_bands(pair)), common_square(parts)));
    }
    return together(untouched, common, squares);
}

MeanEstimate with_drift(const MeanEstimate& estimate, const Spread& drift) {
    if (drift.variance <= 0)
        return estimate;
    const Spread terms[] = {{estimate.standard_error * estimate.standard_error, estimate.degrees_of_freedom},
                            drift};
    const Spread sum = sum_of(terms);
    return {estimate.mean, std::sqrt(sum.variance), std::max(1.0, sum.degrees_of_freedom)};
}

} // namespace ebbmark
