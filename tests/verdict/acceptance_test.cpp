// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/acceptance.hpp"
#include "verdict/judgement.hpp"
#include "verdict/prediction.hpp"

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

// Source: published. The program's own interface description, section JSON.
TEST_CASE("findings bear the words of the machine-readable results") {
    CHECK(name(AcceptanceFinding::met) == "met");
    CHECK(name(AcceptanceFinding::not_met) == "not met");
    CHECK(name(AcceptanceFinding::undecided) == "undecided");
    CHECK(name(Finding::shorter) == "shorter");
    CHECK(name(Finding::longer) == "longer");
    CHECK(name(Finding::shown_unchanged) == "shown unchanged");
    CHECK(name(Finding::no_change_shown) == "no change shown");
    CHECK(name(Finding::not_measurable) == "not measurable");
    CHECK(name(AgainstPrediction::as_predicted) == "as predicted");
    CHECK(name(AgainstPrediction::less_than_predicted) == "less than predicted");
    CHECK(name(AgainstPrediction::more_than_predicted) == "more than predicted");
    CHECK(name(AgainstPrediction::cannot_tell) == "cannot tell");
}
