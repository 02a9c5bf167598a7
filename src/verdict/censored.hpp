// SPDX-License-Identifier: GPL-3.0-or-later
// Values of which only an upper bound is known enter with their bound, not as missing.
#pragma once

#include "verdict/statistics.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace ebbmark {

/// Logarithms at n places: `before` all known or empty (unpaired), `after` a value or nothing, with `bound`
/// above the unknown one.
struct CensoredSample {
    std::vector<double> before;
    std::vector<std::optional<double>> after;
    std::vector<double> bound;
    /// What is known beforehand of the variance of after − before (of after, where `before` is empty).
    Spread prior;
    /// Part of that variance that comes from `before`, 0 to 1.
    double share_before = 0.5;
    /// The places whose mean is wanted; n flags.
    std::vector<bool> wanted;
};

/// The mean of after − before (of after alone where `before` is empty).
struct CensoredMean {
    double all = 0, wanted = 0;
    double between_all = 0, between_wanted = 0; ///< variance of each from the unknown values
    Spread spread;                              ///< of one difference
};

/// Needs two known after-values. Censored normal likelihood of after given before, a straight line of slope 0
/// to 1; its posterior by data augmentation (M. A. Tanner, W. H. Wong, J. Am. Stat. Assoc. 82 (1987) 528-540)
/// with a fixed seed: same input, same result.
CensoredMean complete_mean(const CensoredSample& sample);

/// Degrees of freedom of a mean whose variance is within/n from complete data plus `between` from imputed
/// ones: J. Barnard, D. B. Rubin, Biometrika 86 (1999) 948-955, for many imputations.
double freedom_after_completion(double within, double between, double complete_freedom);

} // namespace ebbmark
