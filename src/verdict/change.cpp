// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/change.hpp"

#include "verdict/censored.hpp"
#include "verdict/shared_spread.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/special_functions/digamma.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/special_functions/trigamma.hpp>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Where the returns scatter clearly less than the fits explain, the fits alone stand; they rest on many
/// independent samples of each decay, not on the number of positions.
constexpr double freedom_of_fit = 60;

/// Chance of calling one scatter clearly less than another when it is not.
constexpr double clearly_less = 0.01;

struct Means {
    double all = 0, wanted = 0;
    double between_all = 0, between_wanted = 0;
    Spread spread; ///< of one difference
};

struct Counts {
    std::size_t all = 0, wanted = 0;
};

double log_frequency(const Band& band) {
    return std::log(band.exact_hz);
}

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

/// Enough values known for the censored likelihood: two, and a third of all.
bool can_complete(int count, int bounded) {
    return count - bounded >= 2 && 3 * (count - bounded) >= count;
}

/// What is known of the scatter of partly hidden values: from the other bands, or else only that the fits
/// alone make so much. Four degrees of freedom: known to about a factor of two.
Spread prior_of_hidden(const Spread& from_others, double of_fits) {
    constexpr double of_fits_freedom = 4;
    return from_others.degrees_of_freedom >= of_fits_freedom
               ? from_others
               : pooled(from_others, {of_fits, of_fits_freedom});
}

std::vector<double> known_differences(const BandValues& values) {
    std::vector<double> differences;
    for (const PositionPair& pair : values.pairs)
        if (pair.after.log_s)
            differences.push_back(*pair.after.log_s - *pair.before.log_s);
    return differences;
}

struct FitVariance {
    double before = 0, after = 0;
};

/// Geometric means over the positions: the variance goes with 1/T, and T itself scatters.
FitVariance mean_fit(const BandValues& values) {
    if (values.pairs.empty())
        return {};
    double before = 0, after = 0;
    for (const PositionPair& pair : values.pairs) {
        before += std::log(pair.before.fit_variance) / static_cast<double>(values.pairs.size());
        after += std::log(pair.after.fit_variance) / static_cast<double>(values.pairs.size());
    }
    return {std::exp(before), std::exp(after)};
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

/// The scatter of the returns against their first takes, all bands.
std::vector<BandSpread> returned_spreads(const std::vector<BandChange>& bands, const ChangeRules& rules) {
    std::vector<BandSpread> returned;
    for (std::size_t b = 0; b < bands.size(); ++b) {
        double squares = 0, fits = 0, count = 0;
        for (const RepeatedTake& take : rules.returns) {
            const DecayValue first = decay_value(take.first.bands[b], rules.metric);
            const DecayValue again = decay_value(take.again.bands[b], rules.metric);
            if (!first.log_s || !again.log_s)
                continue;
            squares += (*again.log_s - *first.log_s) * (*again.log_s - *first.log_s);
            fits += first.fit_variance + again.fit_variance;
            ++count;
        }
        returned.push_back({count > 0 ? Spread{squares / count, count} : Spread{},
                            count > 0 && fits > 0 ? fits / count : 1, log_frequency(bands[b].values.band)});
    }
    return returned;
}

/// Whether all bands together scatter less than the fits alone would make them.
bool less_than_fits(const std::vector<BandSpread>& returned) {
    double sum = 0, freedom = 0;
    for (const BandSpread& band : returned) {
        sum += band.own.degrees_of_freedom * band.own.variance / band.expected;
        freedom += band.own.degrees_of_freedom;
    }
    return freedom > 0 && boost::math::gamma_p(freedom / 2, sum / 2) < clearly_less;
}

/// Whether the returns scatter clearly less than the positions, all bands together: then the positions differ
/// in their change, and only the returns tell the reproducibility. Mean of log-ratios against its sampling
/// error.
bool positions_differ(const std::vector<BandSpread>& own, const std::vector<BandSpread>& returned) {
    double sum = 0, variance = 0;
    for (std::size_t b = 0; b < own.size(); ++b) {
        const double p = own[b].own.degrees_of_freedom / 2, r = returned[b].own.degrees_of_freedom / 2;
        const double positions = own[b].own.variance / own[b].expected;
        const double returns = returned[b].own.variance / returned[b].expected;
        if (p <= 0 || r <= 0 || positions <= 0 || returns <= 0)
            continue;
        using boost::math::digamma, boost::math::trigamma;
        sum += std::log(positions / returns) - digamma(p) + std::log(p) + digamma(r) - std::log(r);
        variance += trigamma(p) + trigamma(r);
    }
    const boost::math::normal standard;
    return variance > 0 && boost::math::cdf(complement(standard, sum / std::sqrt(variance))) < clearly_less;
}

/// Variance of one difference when everything is measured again at the same places. A return holds the
/// randomness of its two fits already, so nothing is added to it. While the scatter between positions is not
/// clearly more than that of the returns, both measure the same and are pooled: at worst on the safe side.
std::vector<Spread> reproducibility(const std::vector<BandChange>& bands, const std::vector<BandSpread>& own,
                                    const ChangeRules& rules) {
    auto again = returned_spreads(bands, rules);
    const bool fits_stand = less_than_fits(again), pool = !positions_differ(own, again);
    for (std::size_t b = 0; b < bands.size(); ++b) {
        again[b].own.variance *= own[b].expected / again[b].expected;
        again[b].expected = own[b].expected;
        if (pool && again[b].own.degrees_of_freedom > 0)
            again[b].own = pooled(again[b].own, own[b].own);
    }
    std::vector<Spread> result;
    for (std::size_t b = 0; b < bands.size(); ++b) {
        const Spread spread = pooled(again[b].own, prior_from_others(again, b));
        // With one position nothing but the returns speaks of scatter: they may add to the fits, not lessen
        // them.
        const bool floor = fits_stand || bands[b].values.pairs.size() == 1;
        if (spread.degrees_of_freedom > 0 && floor && spread.variance < again[b].expected)
            result.push_back({again[b].expected, freedom_of_fit});
        else
            result.push_back(spread);
    }
    return result;
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

/// A mean of `count` differences; `common` is shared by all of them.
MeanEstimate estimate(double mean, const Spread& spread, std::size_t count, double between, double common) {
    const double within = spread.variance / static_cast<double>(count);
    const double freedom = between > 0 ? freedom_after_completion(within, between, spread.degrees_of_freedom)
                                       : spread.degrees_of_freedom;
    const Spread terms[] = {{within + between, freedom}, {common, INFINITY}};
    const Spread sum = sum_of(terms);
    return {mean, std::sqrt(sum.variance), sum.variance > 0 ? sum.degrees_of_freedom : freedom};
}

double at(const std::vector<double>& values, std::size_t band) {
    return values.empty() ? 0 : values[band];
}

/// Every difference is at most its bound, so their mean is at most the mean of these.
void bound_only(BandChange& band, double correction) {
    std::vector<double> bounds;
    for (const PositionPair& pair : band.values.pairs)
        bounds.push_back((pair.after.log_s ? *pair.after.log_s : *pair.after.log_bound) - *pair.before.log_s +
                         correction);
    if (bounds.size() >= 2)
        band.at_most = mean_of(bounds);
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
    const double correction = at(rules.correction, index), common = at(rules.common_variance, index);
    band.positions = static_cast<int>(counts.wanted);
    if (counts.all == 0)
        return;
    if (values.bounded() > 0 && !can_complete(static_cast<int>(counts.all), values.bounded()))
        return bound_only(band, correction);
    band.completed = values.bounded() > 0;
    const Means means =
        band.completed ? completed_means(band, rules, prior_of_hidden(scatter.prior, scatter.own.expected))
                       : plain_means(values, rules, pooled(scatter.own.own, scatter.prior));
    band.one_difference = means.spread;
    band.own_freedom = static_cast<double>(counts.all - 1 + rules.returns.size());
    if (counts.all >= 2)
        band.general = estimate(means.all + correction, means.spread, counts.all, means.between_all, common);
    if (counts.wanted == 0)
        return;
    set_levels(band, rules, means.wanted + correction);
    const bool measured_again = scatter.again.degrees_of_freedom > 0;
    if (measured_again || counts.all >= 2)
        band.here = estimate(means.wanted + correction, measured_again ? scatter.again : means.spread,
                             counts.wanted, means.between_wanted, common);
    if (scatter.after.degrees_of_freedom > 0)
        band.after = estimate(*band.after_log_s, scatter.after, counts.wanted, means.between_wanted, common);
}

void estimate_paired(std::vector<BandChange>& bands, const ChangeRules& rules) {
    const auto own = own_spreads(bands), after = after_spreads(bands);
    const auto again = reproducibility(bands, own, rules);
    for (std::size_t b = 0; b < bands.size(); ++b) {
        const FitVariance fit = mean_fit(bands[b].values);
        if (fit.before + fit.after > 0)
            bands[b].share_before = fit.before / (fit.before + fit.after);
        Spread after_spread = pooled(after[b].own, prior_from_others(after, b));
        if (after_spread.degrees_of_freedom <= 0 && again[b].degrees_of_freedom > 0)
            after_spread = {again[b].variance * (1 - bands[b].share_before), again[b].degrees_of_freedom};
        estimate_band(bands[b], rules, {own[b], prior_from_others(own, b), again[b], after_spread}, b);
    }
}

// --- unpaired

std::vector<double> known(const std::vector<DecayValue>& values) {
    std::vector<double> list;
    for (const DecayValue& value : values)
        if (value.log_s)
            list.push_back(*value.log_s);
    return list;
}

std::vector<BandSpread> state_spreads(const std::vector<BandChange>& bands,
                                      std::vector<DecayValue> BandValues::*state) {
    std::vector<BandSpread> spreads;
    for (const BandChange& band : bands) {
        const auto& values = band.values.*state;
        const auto logs = known(values);
        double fit = 0;
        for (const DecayValue& value : values)
            fit += value.fit_variance / static_cast<double>(values.size());
        BandSpread spread{{}, std::max(fit, 1e-12), log_frequency(band.values.band)};
        if (logs.size() >= 2 && logs.size() == values.size())
            spread.own = spread_of(logs);
        spreads.push_back(spread);
    }
    return spreads;
}

Means completed_after(const BandValues& values, const Spread& prior) {
    CensoredSample sample;
    sample.prior = prior;
    for (const DecayValue& value : values.after) {
        sample.after.push_back(value.log_s);
        sample.bound.push_back(value.log_bound.value_or(0));
    }
    sample.wanted.assign(values.after.size(), true);
    const CensoredMean mean = complete_mean(sample);
    return {mean.all, mean.wanted, mean.between_all, mean.between_wanted, mean.spread};
}

void estimate_unpaired_band(BandChange& band, const Spread& prior_before, const Spread& prior_after,
                            double correction, double common) {
    const BandValues& values = band.values;
    const auto before = known(values.before), after = known(values.after);
    band.positions = static_cast<int>(std::min(before.size(), values.after.size()));
    if (before.empty() || values.after.empty())
        return;
    const int bounded = values.bounded();
    if (bounded > 0 && !can_complete(static_cast<int>(values.after.size()), bounded)) {
        std::vector<double> bounds;
        for (const DecayValue& value : values.after)
            bounds.push_back(value.log_s.value_or(value.log_bound.value_or(0)) + correction);
        if (before.size() >= 2 && bounds.size() >= 2)
            band.at_most = welch_difference(before, bounds);
        return;
    }
    band.completed = bounded > 0;
    Means means;
    if (band.completed)
        means = completed_after(values, prior_after);
    else
        means = {sample_mean(after), 0, 0, 0,
                 pooled(after.size() >= 2 ? spread_of(after) : Spread{}, prior_after)};
    band.before_log_s = sample_mean(before);
    band.after_log_s = means.all + correction;
    if (before.size() < 2 || values.after.size() < 2)
        return;
    band.own_freedom = static_cast<double>(before.size() + values.after.size()) - 2;
    const MeanEstimate a = estimate(means.all, means.spread, values.after.size(), means.between_all, 0);
    const MeanEstimate b =
        estimate(*band.before_log_s, pooled(spread_of(before), prior_before), before.size(), 0, 0);
    band.after = a;
    band.after->mean += correction;
    const Spread terms[] = {{b.standard_error * b.standard_error, b.degrees_of_freedom},
                            {a.standard_error * a.standard_error, a.degrees_of_freedom},
                            {common, INFINITY}};
    const Spread sum = sum_of(terms);
    band.share_before = sum.variance > 0 ? terms[0].variance / sum.variance : 0.5;
    band.general = MeanEstimate{*band.after_log_s - *band.before_log_s, std::sqrt(sum.variance),
                                std::min(sum.degrees_of_freedom, 1e10)};
    band.here = band.general;
}

void estimate_unpaired(std::vector<BandChange>& bands, const ChangeRules& rules) {
    const auto before = state_spreads(bands, &BandValues::before);
    const auto after = state_spreads(bands, &BandValues::after);
    for (std::size_t b = 0; b < bands.size(); ++b)
        estimate_unpaired_band(bands[b], prior_from_others(before, b), prior_from_others(after, b),
                               at(rules.correction, b), at(rules.common_variance, b));
}

} // namespace

std::vector<BandChange> estimate_changes(const std::vector<ResponseDecay>& before,
                                         const std::vector<ResponseDecay>& after, const ChangeRules& rules) {
    std::vector<BandChange> bands(before.front().bands.size());
    for (std::size_t b = 0; b < bands.size(); ++b)
        bands[b].values = rules.paired ? paired_values(before, after, b, rules.metric)
                                       : unpaired_values(before, after, b, rules.metric);
    if (rules.paired)
        estimate_paired(bands, rules);
    else
        estimate_unpaired(bands, rules);
    return bands;
}

} // namespace ebbmark
