// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/decay.hpp"

#include <vector>

namespace ebbmark {

/// Several takes of one position as one: the arithmetic mean of every quantity over the takes that have it
/// (ISO 3382-1:2009, 8). The ends of an interval are averaged too and so do not get narrower: takes of one
/// position share what makes them uncertain. Curve, shape and onset are the first take's.
/// All takes hold the same bands in the same order; at least one take.
ResponseDecay mean_of_takes(const std::vector<ResponseDecay>& takes);

} // namespace ebbmark
