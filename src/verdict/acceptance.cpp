// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/acceptance.hpp"

#include <cassert>
#include <cmath>

namespace ebbmark {

std::string_view name(AcceptanceFinding acceptance) {
    switch (acceptance) {
    case AcceptanceFinding::met:
        return "met";
    case AcceptanceFinding::not_met:
        return "not met";
    case AcceptanceFinding::undecided:
        return "undecided";
    }
    return "";
}

AcceptanceFinding accept(const MeanEstimate& change, const AcceptanceRule& rule) {
    assert(rule.at_least_percent > 0 && rule.at_least_percent < 100);
    const double limit = std::log1p(-rule.at_least_percent / 100);
    const double guard_band = half_width(change, 0.90); // two-sided 90 % is one-sided 95 % on either side
    if (change.mean + guard_band <= limit)
        return AcceptanceFinding::met;
    return change.mean - guard_band > limit ? AcceptanceFinding::not_met : AcceptanceFinding::undecided;
}

} // namespace ebbmark
