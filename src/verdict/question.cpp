// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/question.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace ebbmark {

namespace {

bool in_range(const Band& band, const Question& question) {
    constexpr double hair = 1e-9;
    return band.nominal_hz >= question.from_hz * (1 - hair) && band.nominal_hz <= question.to_hz * (1 + hair);
}

/// Sum over the positions of the product of two bands' changes, each about its mean.
struct CrossProduct {
    double sum = 0, degrees_of_freedom = 0;
};

CrossProduct cross_product(const BandValues& first, const BandValues& second) {
    std::vector<double> x, y;
    for (const PositionPair& a : first.pairs)
        for (const PositionPair& b : second.pairs)
            if (a.position == b.position && a.after.log_s && b.after.log_s) {
                x.push_back(*a.after.log_s - *a.before.log_s);
                y.push_back(*b.after.log_s - *b.before.log_s);
            }
    if (x.size() < 2)
        return {};
    CrossProduct product{0, static_cast<double>(x.size()) - 1};
    const double mean_x = sample_mean(x), mean_y = sample_mean(y);
    for (std::size_t i = 0; i < x.size(); ++i)
        product.sum += (x[i] - mean_x) * (y[i] - mean_y);
    return product;
}

/// Weighted mean of estimates whose errors are correlated between bands. Its degrees of freedom: those of a
/// sum of correlated variances, no more than all bands have together (they share what they know of the
/// scatter), and less for a correlation that is itself only estimated.
MeanEstimate weighted(const std::vector<MeanEstimate>& estimates, const std::vector<double>& weights,
                      const std::vector<int>& band_index, const NeighbourCorrelation& correlation,
                      double most_freedom) {
    double mean = 0, variance = 0, slope = 0, independent = 0, doubt = 0;
    for (std::size_t i = 0; i < estimates.size(); ++i) {
        mean += weights[i] * estimates[i].mean;
        const double own = weights[i] * estimates[i].standard_error;
        independent += own * own;
        for (std::size_t j = 0; j < estimates.size(); ++j) {
            const double other = weights[j] * estimates[j].standard_error;
            const int apart = std::abs(band_index[i] - band_index[j]);
            const double together = std::pow(correlation.value, apart);
            variance += own * other * together;
            if (apart > 0)
                slope += own * other * apart * std::pow(correlation.value, apart - 1);
            doubt += own * own * other * other * together * together /
                     std::sqrt(estimates[i].degrees_of_freedom * estimates[j].degrees_of_freedom);
        }
    }
    if (variance <= 0)
        return {mean, 0, std::max(1.0, most_freedom)};
    const double of_scatter =
        std::max(2 * doubt / (independent * independent), 2 / std::max(1.0, most_freedom));
    const double of_correlation = slope * slope / (variance * variance) * correlation.variance;
    return {mean, std::sqrt(variance), std::max(1.0, 2 / (of_scatter + of_correlation))};
}

} // namespace

NeighbourCorrelation neighbour_correlation(const std::vector<BandChange>& bands) {
    double sum = 0, freedom = 0;
    for (std::size_t b = 0; b + 1 < bands.size(); ++b) {
        const double variance = bands[b].one_difference.variance * bands[b + 1].one_difference.variance;
        if (variance <= 0)
            continue;
        const CrossProduct product = cross_product(bands[b].values, bands[b + 1].values);
        sum += product.sum / std::sqrt(variance);
        freedom += product.degrees_of_freedom;
    }
    if (freedom <= 0 || sum <= 0)
        return {};
    const double value = std::min(sum / freedom, 0.95);
    return {value,
            (1 - value * value) * (1 - value * value) / freedom}; // large-sample variance, R. A. Fisher
}

QuestionChange question_change(const std::vector<BandChange>& bands, const Question& question,
                               const std::vector<Band>& only) {
    QuestionChange change;
    std::vector<MeanEstimate> here, general, after;
    std::vector<int> index;
    double sum = 0, most_freedom = 0;
    for (std::size_t b = 0; b < bands.size(); ++b) {
        most_freedom += bands[b].own_freedom;
        const Band& band = bands[b].values.band;
        const bool asked = only.empty() || std::find(only.begin(), only.end(), band) != only.end();
        if (!in_range(band, question) || !asked)
            continue;
        if (!bands[b].here) {
            change.missing.push_back(band);
            continue;
        }
        change.bands.push_back(b);
        change.weights.push_back(band.bandwidth_hz());
        sum += band.bandwidth_hz();
        index.push_back(band.index);
        here.push_back(*bands[b].here);
        if (bands[b].general)
            general.push_back(*bands[b].general);
        if (bands[b].after)
            after.push_back(*bands[b].after);
    }
    if (here.empty())
        return change;
    for (double& weight : change.weights)
        weight /= sum;
    const NeighbourCorrelation correlation = neighbour_correlation(bands);
    change.here = weighted(here, change.weights, index, correlation, most_freedom);
    if (general.size() == here.size())
        change.general = weighted(general, change.weights, index, correlation, most_freedom);
    if (after.size() == here.size())
        change.after = weighted(after, change.weights, index, correlation, most_freedom);
    return change;
}

} // namespace ebbmark
