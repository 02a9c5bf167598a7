// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/allowances.hpp"
#include "verdict/censored.hpp"
#include "verdict/change_parts.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

std::vector<double> known(const std::vector<DecayValue>& values) {
    std::vector<double> list;
    for (const DecayValue& value : values)
        if (value.log_s)
            list.push_back(*value.log_s);
    return list;
}

/// The scatter of one state's values, band by band.
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

/// Scatter of one state in one band.
struct StateSpread {
    Spread prior; ///< what the other bands lend
    Spread all;   ///< with the band's own
};

/// Values that scatter clearly less than their fits explain are repeats of one place: their fits err alike,
/// and no number of repeats makes that less.
std::vector<StateSpread> with_priors(const std::vector<BandSpread>& own, const std::vector<BandChange>& bands,
                                     std::vector<DecayValue> BandValues::*state) {
    const bool repeats = less_than_fits(own);
    std::vector<StateSpread> spreads;
    for (std::size_t b = 0; b < own.size(); ++b) {
        StateSpread spread{prior_from_others(own, b), {}};
        spread.all = pooled(own[b].own, spread.prior);
        const double of_one = own[b].expected * static_cast<double>((bands[b].values.*state).size());
        if (repeats && spread.all.variance < of_one)
            spread.all = {of_one, freedom_of_fit};
        spread.all = with_put_back(spread.all, bands[b].values.band);
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

void estimate_unpaired_band(BandChange& band, const StateSpread& spread_before,
                            const StateSpread& spread_after, double correction, double common) {
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
        means = completed_after(values, spread_after.prior);
    else
        means = {sample_mean(after), 0, 0, 0, spread_after.all};
    band.before_log_s = sample_mean(before);
    band.after_log_s = means.all + correction;
    if (before.size() < 2 || values.after.size() < 2)
        return;
    band.own_freedom = static_cast<double>(before.size() + values.after.size()) - 2;
    // Its positions may share one loudspeaker place, and the other state's another one.
    const double shared = loudspeaker_share(values.band);
    const MeanEstimate a = estimate_mean(means.all, means.spread, values.after.size(), means.between_all, 0);
    const MeanEstimate b = estimate_mean(*band.before_log_s, spread_before.all, before.size(), 0, 0);
    band.after = a;
    band.after->mean += correction;
    // How much loudspeakers share is known from elsewhere, however few values there are here.
    const Spread terms[] = {{b.standard_error * b.standard_error, b.degrees_of_freedom},
                            {a.standard_error * a.standard_error, a.degrees_of_freedom},
                            {shared * (spread_before.all.variance + means.spread.variance),
                             std::max(3.0, spread_before.all.degrees_of_freedom)},
                            {common, INFINITY}};
    const Spread sum = sum_of(terms);
    band.share_before = sum.variance > 0 ? terms[0].variance / sum.variance : 0.5;
    band.general = MeanEstimate{*band.after_log_s - *band.before_log_s, std::sqrt(sum.variance),
                                std::min(sum.degrees_of_freedom, 1e10)};
    band.here = band.general;
}

} // namespace

void estimate_unpaired(std::vector<BandChange>& bands, const ChangeRules& rules) {
    const auto before = with_priors(state_spreads(bands, &BandValues::before), bands, &BandValues::before);
    const auto after = with_priors(state_spreads(bands, &BandValues::after), bands, &BandValues::after);
    for (std::size_t b = 0; b < bands.size(); ++b)
        estimate_unpaired_band(bands[b], before[b], after[b], at_band(rules.correction, b),
                               at_band(rules.common_variance, b));
}

} // namespace ebbmark
