// SPDX-License-Identifier: GPL-3.0-or-later
// Tests and intervals on the mean of small samples. Distributions from Boost.Math.
#pragma once

#include <span>
#include <vector>

namespace ebbmark {

/// A mean with what its t distribution needs.
struct MeanEstimate {
    double mean = 0;
    double standard_error = 0;
    double degrees_of_freedom = 0;
};

/// A variance of single values and how well it is known.
struct Spread {
    double variance = 0;
    double degrees_of_freedom = 0;
};

/// Sample mean of at least 1 value.
double sample_mean(std::span<const double> values);

/// Sample variance of at least 2 values; n − 1 degrees of freedom.
Spread spread_of(std::span<const double> values);

/// Mean of at least 2 values; n − 1 degrees of freedom.
MeanEstimate mean_of(std::span<const double> values);

/// A sum of independent terms: their variances add, degrees of freedom by B. L. Welch and F. E. Satterthwaite
/// (JCGM 100:2008, G.4.1). Infinite degrees of freedom are allowed; without any variance they are infinite.
Spread sum_of(std::span<const Spread> terms);

/// mean(second) − mean(first) of two independent samples of at least 2 values each, variances unequal:
/// B. L. Welch, Biometrika 34 (1947) 28-35.
MeanEstimate welch_difference(std::span<const double> first, std::span<const double> second);

/// Half the width of the two-sided interval of the given confidence, 0 < confidence < 1.
double half_width(const MeanEstimate& estimate, double confidence);

/// Two-sided p of "the mean is zero". A standard error of 0 gives 0, or 1 where the mean is 0 too.
double p_value(const MeanEstimate& estimate);

/// One-sided p of "the mean is `limit` or more".
double p_below(const MeanEstimate& estimate, double limit);

/// p values that keep the chance of any false rejection at the level they are compared with:
/// S. Holm, Scand. J. Statist. 6 (1979) 65-70, there also with weights (> 0): one of twice the weight is
/// tested at twice the level. Same order as given.
std::vector<double> holm(std::span<const double> p_values, std::span<const double> weights);
std::vector<double> holm(std::span<const double> p_values);

/// Two one-sided tests, D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657-680: the larger p of
/// "the mean lies at or beyond −margin" and "… at or beyond +margin"; margin > 0.
double equivalence_p(const MeanEstimate& estimate, double margin);

/// The true mean that a two-sided test at `level` would find with probability `power`, given this standard
/// error: non-central t distribution.
double smallest_showable(const MeanEstimate& estimate, double level, double power);

} // namespace ebbmark
