// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the data of two states can be told with one decay for both: where positions are too few to leave
// one out, a decay may be bent by neighbours without anything showing it but this.
#pragma once

#include "ringing/room_fit.hpp"

namespace ebbmark {

/// Likelihood ratio statistic of "the mode near `before` and the one near `after` decay alike": each state
/// has its own frequencies, amplitudes and further modes; those that only the other state shows are allowed
/// for. Chi-square of one degree of freedom where they do (S. S. Wilks, Ann. Math. Statist. 9 (1938) 60),
/// scaled by the larger misfit of the two windows.
double shared_decay_statistic(const FittedRoom& before, const Pole& before_pole, const FittedRoom& after,
                              const Pole& after_pole);

} // namespace ebbmark
