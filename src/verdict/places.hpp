// SPDX-License-Identifier: GPL-3.0-or-later
// Repeats of one place count once.
#pragma once

#include "verdict/comparison.hpp"

#include <cstddef>
#include <vector>

namespace ebbmark {

/// Joins what repeats one place into the mean of its takes (decay/takes.hpp). `before` and `after` group the
/// responses by place (signal/same_place.hpp), as indices. States that are not paired but
/// repeat one place each are one pair. Of paired states two pairs are one only where both
/// their responses repeat; listening places are those with any such pair. Sets the options' counts of
/// responses.
void join_repeats(StatePair& states, const std::vector<std::vector<std::size_t>>& before,
                  const std::vector<std::vector<std::size_t>>& after);

} // namespace ebbmark
