// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/acceptance.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

TEST_CASE("guard bands on both sides of what was agreed") {
    // Source: closed form. Normal distribution, one-sided 95 %: 1.644854 standard uncertainties.
    const double limit = std::log(0.8), u = 0.05, guard = 1.644854 * u;
    const auto at = [&](double mean) { return accept({mean, u, INFINITY}, {20}); };
    CHECK(at(limit - guard - 1e-6) == AcceptanceFinding::met);
    CHECK(at(limit - guard + 1e-6) == AcceptanceFinding::undecided);
    CHECK(at(limit + guard - 1e-6) == AcceptanceFinding::undecided);
    CHECK(at(limit + guard + 1e-6) == AcceptanceFinding::not_met);
}

TEST_CASE("fewer degrees of freedom need a wider guard band") {
    // Source: published, JCGM 100:2008 Table G.2: t for 90 % and 5 degrees of freedom is 2.02.
    const double limit = std::log(0.8);
    CHECK(accept({limit - 2.00 * 0.05, 0.05, 5}, {20}) == AcceptanceFinding::undecided);
    CHECK(accept({limit - 2.02 * 0.05, 0.05, 5}, {20}) == AcceptanceFinding::met);
}

TEST_CASE("the rule is stated in words") {
    CHECK(decision_rule({20}).find("at least 20 % shorter") != std::string::npos);
}
