// SPDX-License-Identifier: GPL-3.0-or-later
// The scatter of one band from a few positions is itself uncertain; neighbouring bands know something of it.
#pragma once

#include "verdict/statistics.hpp"

#include <span>
#include <vector>

namespace ebbmark {

/// A band's own scatter and what to hold it against.
struct BandSpread {
    Spread own;          ///< 0 degrees of freedom: nothing of its own
    double expected = 1; ///< variance that the fit alone explains, > 0: the shape over frequency
    double log_frequency = 0;
};

/// The prior that the other bands give for one band's variance; 0 degrees of freedom where they give none.
/// Scaled inverse chi-square, hyperparameters by moments of the logarithms: G. K. Smyth, Stat. Appl. Genet.
/// Mol. Biol. 3 (2004) art. 3, section 6.2. Here own/expected follows a straight line over log frequency
/// (a constant with fewer than six other bands; nothing with fewer than three), the band itself is left out
/// of its own prior, and the uncertainty of the line counts as scatter of the prior.
Spread prior_from_others(std::span<const BandSpread> bands, std::size_t of);

/// Own scatter and prior pooled by their degrees of freedom.
Spread pooled(const Spread& own, const Spread& prior);

} // namespace ebbmark
