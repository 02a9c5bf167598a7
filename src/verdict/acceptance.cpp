// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/acceptance.hpp"

#include <fmt/format.h>

#include <cassert>
#include <cmath>

namespace ebbmark {

std::string_view name(Acceptance acceptance) {
    switch (acceptance) {
    case Acceptance::met:
        return "met";
    case Acceptance::not_met:
        return "not met";
    case Acceptance::undecided:
        return "undecided";
    }
    return "";
}

Acceptance accept(const MeanEstimate& change, const AcceptanceRule& rule) {
    assert(rule.at_least_percent > 0 && rule.at_least_percent < 100);
    const double limit = std::log1p(-rule.at_least_percent / 100);
    const double guard_band = half_width(change, 0.90); // two-sided 90 % is one-sided 95 % on either side
    if (change.mean + guard_band <= limit)
        return Acceptance::met;
    return change.mean - guard_band > limit ? Acceptance::not_met : Acceptance::undecided;
}

std::string decision_rule(const AcceptanceRule& rule) {
    return fmt::format(
        "Agreed: at least {:g} % shorter. Met where the whole one-sided 95 % interval lies beyond "
        "that, not met where it lies wholly short of it, else undecided (guard bands, JCGM 106).",
        rule.at_least_percent);
}

} // namespace ebbmark
