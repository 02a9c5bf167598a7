// SPDX-License-Identifier: GPL-3.0-or-later
// Whether what was agreed was reached: JCGM 106:2012, decision rule with guard band.
#pragma once

#include "verdict/statistics.hpp"

#include <string_view>

namespace ebbmark {

/// What the two parties agreed beforehand: the decay falls by at least so much.
struct AcceptanceRule {
    double at_least_percent = 0; ///< above 0, below 100
    bool operator==(const AcceptanceRule&) const = default;
};

enum class AcceptanceFinding { met, not_met, undecided };

/// "met", "not met", "undecided".
std::string_view name(AcceptanceFinding acceptance);

/// `met` where the shortening exceeds what was agreed by more than the guard band, so that a shortening that
/// only just misses it is accepted in at most 5 % of cases (guarded acceptance, JCGM 106:2012 8.3.2); `not
/// met` where it misses by more than the guard band (guarded rejection, 8.3.3); between the two `undecided`.
/// The guard band is Student's 95 % one-sided quantile times the standard uncertainty of ln(after/before).
AcceptanceFinding accept(const MeanEstimate& change, const AcceptanceRule& rule);

} // namespace ebbmark
