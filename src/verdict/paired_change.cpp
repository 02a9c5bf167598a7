// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/censored.hpp"
#include "verdict/change_parts.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// What is known of the scatter of partly hidden values: from the other bands, or else only that the fits
/// alone make so much. Four degrees of freedom: known to about a factor of two.
Spread prior_of_hidden(const Spread& from_others, double of_fits) {
    constexpr double of_fits_freedom = 4;
    return from_others.degrees_of_freedom >= of_fits_freedom
               ? from_others
               : pooled(from_others, {of_fits, of_fits_freedom});
}

struct Counts {
    std::size_t all = 0, wanted = 0;
};

bool is_wanted(const ChangeRules& rules, std::size_t position) {
    return std::find(rules.listening.begin(), rules.listening.end(), true) == rules.listening.end() ||
           (position < rules.listening.size() && rules.listening[position]);
}

Counts counts_of(const BandValues& values, const ChangeRules& rules) {
    Counts counts{values.pairs.size(), 0};
    for (const PositionPair& pair : values.pairs)
        counts.wanted += is_wanted(rules, pair.position);
    return counts;
}

std::vector<std::size_t> wanted_places(const BandValues& values, const ChangeRules& rules) {
    std::vector<std::size_t> places;
    for (const PositionPair& pair : values.pairs)
        if (is_wanted(rules, pair.position)) {
            places.push_back(pair.position);
            places.insert(places.end(), pair.also.begin(), pair.also.end());
        }
    std::sort(places.begin(), places.end());
    return places;
}

std::vector<double> known_differences(const BandValues& values) {
    std::vector<double> differences;
    for (const PositionPair& pair : values.pairs)
        if (pair.after.log_s)
            differences.push_back(*pair.after.log_s - *pair.before.log_s);
    return differences;
}

/// The scatter of the differences, each band's own; a truncated sample says nothing reliable of it.
std::vector<BandSpread> own_spreads(const std::vector<BandChange>& bands) {
    std::vector<BandSpread> spreads;
    for (const BandChange& band : bands) {
        const FitVariance fit = mean_fit(band.values);
        BandSpread spread{{}, std::max(fit.before + fit.after, 1e-12), log_frequency(band.values.band)};
        const auto differences = known_differences(band.values);
        if (differences.size() >= 2 && band.values.bounded() == 0)
            spread.own = spread_of(differences);
        spreads.push_back(spread);
    }
    return spreads;
}

/// The same of the values after alone.
std::vector<BandSpread> after_spreads(const std::vector<BandChange>& bands) {
    std::vector<BandSpread> spreads;
    for (const BandChange& band : bands) {
        BandSpread spread{{}, std::max(mean_fit(band.values).after, 1e-12), log_frequency(band.values.band)};
        std::vector<double> logs;
        for (const PositionPair& pair : band.values.pairs)
            if (pair.after.log_s)
                logs.push_back(*pair.after.log_s);
        if (logs.size() >= 2 && band.values.bounded() == 0)
            spread.own = spread_of(logs);
        spreads.push_back(spread);
    }
    return spreads;
}

Means plain_means(const BandValues& values, const ChangeRules& rules, const Spread& spread) {
    std::vector<double> wanted;
    for (const PositionPair& pair : values.pairs)
        if (is_wanted(rules, pair.position))
            wanted.push_back(*pair.after.log_s - *pair.before.log_s);
    return {sample_mean(known_differences(values)), wanted.empty() ? 0 : sample_mean(wanted), 0, 0, spread};
}

Means completed_means(const BandChange& band, const ChangeRules& rules, const Spread& prior) {
    CensoredSample sample;
    sample.prior = prior;
    sample.share_before = band.share_before;
    for (const PositionPair& pair : band.values.pairs) {
        sample.before.push_back(*pair.before.log_s);
        sample.after.push_back(pair.after.log_s);
        sample.bound.push_back(pair.after.log_bound.value_or(0));
        sample.wanted.push_back(is_wanted(rules, pair.position));
    }
    const CensoredMean mean = complete_mean(sample);
    return {mean.all, mean.wanted, mean.between_all, mean.between_wanted, mean.spread};
}

/// Every difference is at most its bound, so the mean of those wanted is at most the mean of theirs.
void bound_only(BandChange& band, const ChangeRules& rules, double correction, double common) {
    std::vector<double> bounds;
    for (const PositionPair& pair : band.values.pairs)
        if (is_wanted(rules, pair.position))
            bounds.push_back((pair.after.log_s ? *pair.after.log_s : *pair.after.log_bound) -
                             *pair.before.log_s + correction);
    if (bounds.empty())
        return;
    if (bounds.size() >= 2)
        band.at_most = mean_of(bounds);
    else
        band.at_most = estimate_mean(bounds.front(), one_place_spread(band.values), 1, 0, common);
}

void set_levels(BandChange& band, const ChangeRules& rules, double change) {
    std::vector<double> before;
    for (const PositionPair& pair : band.values.pairs)
        if (is_wanted(rules, pair.position))
            before.push_back(*pair.before.log_s);
    band.positions = static_cast<int>(before.size());
    band.before_log_s = sample_mean(before);
    band.after_log_s = *band.before_log_s + change;
}

/// What the scatter of one band rests on besides its own values.
struct Scatter {
    BandSpread own;
    Spread prior; ///< of a difference, from the other bands
    Spread again; ///< of a difference at the same place, from the returns
    Spread after; ///< of a value after
};

void estimate_band(BandChange& band, const ChangeRules& rules, const Scatter& scatter, std::size_t index) {
    const BandValues& values = band.values;
    const Counts counts = counts_of(values, rules);
    const double correction = at_band(rules.correction, index),
                 common = at_band(rules.common_variance, index);
    band.positions = static_cast<int>(counts.wanted);
    band.places = wanted_places(values, rules);
    if (counts.all == 0)
        return;
    if (values.bounded() > 0 && !can_complete(static_cast<int>(counts.all), values.bounded()))
        return bound_only(band, rules, correction, common);
    band.completed = values.bounded() > 0;
    const Means means =
        band.completed ? completed_means(band, rules, prior_of_hidden(scatter.prior, scatter.own.expected))
                       : plain_means(values, rules, pooled(scatter.own.own, scatter.prior));
    band.one_difference = means.spread;
    band.own_freedom = static_cast<double>(counts.all - 1 + rules.returns.size());
    if (counts.all >= 2)
        band.general = estimate_mean(means.all + correction, with_put_back(means.spread, values.band),
                                     counts.all, means.between_all, common);
    if (counts.wanted == 0)
        return;
    set_levels(band, rules, means.wanted + correction);
    const bool measured_again = scatter.again.degrees_of_freedom > 0;
    const Spread here = measured_again    ? scatter.again
                        : counts.all == 1 ? one_place_spread(values)
                                          : means.spread;
    band.here = estimate_mean(means.wanted + correction, with_put_back(here, values.band), counts.wanted,
                              means.between_wanted, common);
    const FitVariance fit = mean_fit(values);
    const auto wanted = static_cast<double>(counts.wanted);
    const double within = with_put_back(here, values.band).variance / wanted;
    band.parts.fits = std::min(within, (fit.before + fit.after) / wanted);
    band.parts.scatter = within - band.parts.fits;
    band.parts.hidden = means.between_wanted;
    band.parts.common = common;
    if (scatter.after.degrees_of_freedom > 0)
        band.after =
            estimate_mean(*band.after_log_s, scatter.after, counts.wanted, means.between_wanted, common);
}

} // namespace

void estimate_paired(std::vector<BandChange>& bands, const ChangeRules& rules) {
    const auto own = own_spreads(bands), after = after_spreads(bands);
    std::vector<Spread> priors, positions;
    for (std::size_t b = 0; b < bands.size(); ++b) {
        priors.push_back(prior_from_others(own, b));
        positions.push_back(pooled(own[b].own, priors.back()));
    }
    const auto again = reproducibility(bands, own, positions, rules);
    for (std::size_t b = 0; b < bands.size(); ++b) {
        const FitVariance fit = mean_fit(bands[b].values);
        if (fit.before + fit.after > 0)
            bands[b].share_before = fit.before / (fit.before + fit.after);
        Spread after_spread = pooled(after[b].own, prior_from_others(after, b));
        if (after_spread.degrees_of_freedom <= 0 && again[b].degrees_of_freedom > 0)
            after_spread = {again[b].variance * (1 - bands[b].share_before), again[b].degrees_of_freedom};
        estimate_band(bands[b], rules, {own[b], priors[b], again[b], after_spread}, b);
    }
}

} // namespace ebbmark
