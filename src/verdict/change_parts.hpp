// SPDX-License-Identifier: GPL-3.0-or-later
// What the estimates of paired and of unpaired states share.
#pragma once

#include "verdict/change.hpp"
#include "verdict/shared_spread.hpp"

#include <cstddef>
#include <vector>

namespace ebbmark {

/// Where the returns scatter clearly less than the fits explain, the fits alone stand; they rest on many
/// independent samples of each decay, not on the number of positions.
inline constexpr double freedom_of_fit = 60;

/// Chance of calling one scatter clearly less than another when it is not.
inline constexpr double clearly_less = 0.01;

/// Means of the differences (unpaired: of one state's values) and their scatter.
struct Means {
    double all = 0, wanted = 0;
    double between_all = 0, between_wanted = 0;
    Spread spread; ///< of one difference
};

/// Variance of ln T that the fits explain, before and after.
struct FitVariance {
    double before = 0, after = 0;
};

/// Geometric means over the positions: the variance goes with 1/T, and T itself scatters.
FitVariance mean_fit(const BandValues& values);

/// Enough values known for the censored likelihood: two, and a third of all.
bool can_complete(int count, int bounded);

/// The shape of scatter over frequency is a line over this.
double log_frequency(const Band& band);

/// Whether all bands together scatter clearly less than the fits alone would make them.
bool less_than_fits(const std::vector<BandSpread>& spreads);

/// A mean of `count` values; `between` is what completing the hidden ones adds, `common` is shared by all.
MeanEstimate estimate_mean(double mean, const Spread& spread, std::size_t count, double between,
                           double common);

/// Not less than a microphone put back to 1 cm leaves (allowances.hpp).
Spread with_put_back(const Spread& spread, const Band& band);

/// One pair of values: both fits, and a microphone that may stand 5 cm beside its place.
Spread one_place_spread(const BandValues& values);

/// The value of a band, or 0 where there is no list.
double at_band(const std::vector<double>& values, std::size_t band);

/// Variance of one difference per band when everything is measured again at the same places; 0 degrees of
/// freedom without returns. `own` and `positions` are the scatter of the differences between positions, alone
/// and with what other bands lend.
std::vector<Spread> reproducibility(const std::vector<BandChange>& bands, const std::vector<BandSpread>& own,
                                    const std::vector<Spread>& positions, const ChangeRules& rules);

void estimate_paired(std::vector<BandChange>& bands, const ChangeRules& rules);
void estimate_unpaired(std::vector<BandChange>& bands, const ChangeRules& rules);

} // namespace ebbmark
