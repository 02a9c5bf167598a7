// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/change_parts.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/special_functions/digamma.hpp>
#include <boost/math/special_functions/trigamma.hpp>

#include <cmath>

namespace ebbmark {

namespace {

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

/// Where the returns add nothing to the fits: the fits alone, or the scatter between positions where that is
/// less, as the fits then err alike before and after.
Spread no_more_than_fits(double fits, const Spread& positions) {
    return positions.degrees_of_freedom > 0 && positions.variance < fits ? positions
                                                                         : Spread{fits, freedom_of_fit};
}

} // namespace

// Variance of one difference when everything is measured again at the same places. A return holds the
// randomness of its two fits already, so nothing is added to it. While the scatter between positions is not
// clearly more than that of the returns, both measure the same and are pooled: at worst on the safe side.
std::vector<Spread> reproducibility(const std::vector<BandChange>& bands, const std::vector<BandSpread>& own,
                                    const std::vector<Spread>& positions, const ChangeRules& rules) {
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
        const bool one = bands[b].values.pairs.size() == 1;
        if (spread.degrees_of_freedom > 0 && (fits_stand || one) && spread.variance < again[b].expected)
            result.push_back(no_more_than_fits(again[b].expected, one ? Spread{} : positions[b]));
        else
            result.push_back(spread);
    }
    return result;
}

} // namespace ebbmark
