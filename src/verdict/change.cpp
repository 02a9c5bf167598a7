// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/change.hpp"

#include "verdict/allowances.hpp"
#include "verdict/censored.hpp"
#include "verdict/change_parts.hpp"

#include <boost/math/special_functions/gamma.hpp>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// Whether places are alike is told up to 200 Hz (bass_response.hpp): the third octave there is the last one.
constexpr double first_above_bass_hz = 230;

} // namespace

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

bool can_complete(int count, int bounded) {
    return count - bounded >= 2 && 3 * (count - bounded) >= count;
}

double log_frequency(const Band& band) {
    return std::log(band.exact_hz);
}

bool less_than_fits(const std::vector<BandSpread>& returned) {
    double sum = 0, freedom = 0;
    for (const BandSpread& band : returned) {
        sum += band.own.degrees_of_freedom * band.own.variance / band.expected;
        freedom += band.own.degrees_of_freedom;
    }
    return freedom > 0 && boost::math::gamma_p(freedom / 2, sum / 2) < clearly_less;
}

MeanEstimate estimate_mean(double mean, const Spread& spread, std::size_t count, double between,
                           double common) {
    const double within = spread.variance / static_cast<double>(count);
    const double freedom = between > 0 ? freedom_after_completion(within, between, spread.degrees_of_freedom)
                                       : spread.degrees_of_freedom;
    const Spread terms[] = {{within + between, freedom}, {common, INFINITY}};
    const Spread sum = sum_of(terms);
    return {mean, std::sqrt(sum.variance), sum.variance > 0 ? sum.degrees_of_freedom : freedom};
}

Spread with_put_back(const Spread& spread, const Band& band) {
    const double least = put_back_deviation(band) * put_back_deviation(band);
    if (spread.variance >= least)
        return spread;
    // Values that coincide tell nothing of how well their scatter is known.
    return {least, spread.degrees_of_freedom >= 1 ? spread.degrees_of_freedom : freedom_of_fit};
}

Spread one_place_spread(const BandValues& values) {
    const FitVariance fit = mean_fit(values);
    const double beside = beside_deviation(values.band);
    // B T of a decay that is given is 4 or more: 0.23 each, at most.
    return {std::min(fit.before + fit.after, 0.5) + beside * beside, freedom_of_fit};
}

double at_band(const std::vector<double>& values, std::size_t band) {
    return values.empty() ? 0 : values[band];
}

std::vector<BandChange> estimate_changes(const std::vector<ResponseDecay>& before,
                                         const std::vector<ResponseDecay>& after, const ChangeRules& rules) {
    std::vector<BandChange> bands(before.front().bands.size());
    for (std::size_t b = 0; b < bands.size(); ++b)
        bands[b].values = rules.paired ? paired_values(before, after, b, rules.metric)
                                       : unpaired_values(before, after, b, rules.metric);
    for (BandChange& band : bands)
        if (band.values.band.upper_hz < first_above_bass_hz)
            join_alike(band.values, rules.alike, rules.listening);
    if (rules.paired)
        estimate_paired(bands, rules);
    else
        estimate_unpaired(bands, rules);
    return bands;
}

} // namespace ebbmark
