// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/shared_spread.hpp"
#include "verdict/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

// Source: published. "Student", Biometrika 6 (1908) 1-25: hours of sleep gained by ten patients with two
// drugs; the results are those printed for these data by the R language's t.test in its public documentation.
const std::vector<double> drug_1 = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
const std::vector<double> drug_2 = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};

MeanEstimate paired() {
    std::vector<double> differences;
    for (std::size_t i = 0; i < drug_1.size(); ++i)
        differences.push_back(drug_1[i] - drug_2[i]);
    return mean_of(differences);
}

} // namespace

TEST_CASE("paired t test of the sleep data") {
    const auto estimate = paired();
    CHECK(estimate.mean / estimate.standard_error == relative(-4.0621).epsilon(1e-5));
    CHECK(estimate.degrees_of_freedom == 9);
    CHECK(p_value(estimate) == relative(0.002833).epsilon(1e-4));
    CHECK(estimate.mean - half_width(estimate, 0.95) == relative(-2.4598858).epsilon(1e-7));
    CHECK(estimate.mean + half_width(estimate, 0.95) == relative(-0.7001142).epsilon(1e-7));
}

TEST_CASE("Welch's t test of the sleep data") {
    const auto estimate = welch_difference(drug_2, drug_1);
    CHECK(estimate.mean / estimate.standard_error == relative(-1.8608).epsilon(1e-5));
    CHECK(estimate.degrees_of_freedom == relative(17.776).epsilon(1e-4));
    CHECK(p_value(estimate) == relative(0.07939).epsilon(1e-4));
    CHECK(estimate.mean - half_width(estimate, 0.95) == relative(-3.3654832).epsilon(1e-7));
    CHECK(estimate.mean + half_width(estimate, 0.95) == relative(0.2054832).epsilon(1e-6));
}

TEST_CASE("pooled t test of the sleep data") {
    const Spread both = pooled(spread_of(drug_1), spread_of(drug_2));
    const MeanEstimate estimate{sample_mean(drug_1) - sample_mean(drug_2), std::sqrt(both.variance * 2 / 10),
                                both.degrees_of_freedom};
    CHECK(estimate.degrees_of_freedom == 18);
    CHECK(p_value(estimate) == doctest::Approx(0.07919).epsilon(1e-4));
    CHECK(estimate.mean - half_width(estimate, 0.95) == doctest::Approx(-3.363874).epsilon(1e-6));
    CHECK(estimate.mean + half_width(estimate, 0.95) == doctest::Approx(0.203874).epsilon(1e-5));
}

TEST_CASE("two one-sided tests of the sleep data") {
    // Source: closed form. The p values of the t distribution with 9 degrees of freedom at (margin - 1.58) /
    // 0.38896.
    CHECK(equivalence_p(paired(), 2.0) == relative(0.154157).epsilon(1e-5));
    CHECK(equivalence_p(paired(), 2.5) == relative(0.021117).epsilon(1e-4));
    CHECK(equivalence_p(paired(), 3.0) == relative(0.002656).epsilon(1e-3));
}

TEST_CASE("Holm's step-down procedure") {
    // Source: closed form. Multiples 5, 4, 3, 2, 1 in rising order, never falling.
    const std::vector<double> p = {0.3, 0.001, 0.02, 0.012, 0.04};
    const std::vector<double> expected = {0.3, 0.005, 0.06, 0.048, 0.08};
    const auto adjusted = holm(p);
    for (std::size_t i = 0; i < p.size(); ++i)
        CHECK(adjusted[i] == relative(expected[i]).epsilon(1e-12));
    CHECK(holm({}).empty());
}

TEST_CASE("with weights Holm's correction tests a heavier hypothesis at a higher level") {
    // Source: closed form, S. Holm (1979), section 4: p/w rises 0.01/4, 0.01/1, 0.04/1; sums of weights left
    // 6, 2, 1.
    const std::vector<double> p = {0.01, 0.04, 0.01}, weights = {4, 1, 1};
    const auto adjusted = holm(p, weights);
    CHECK(adjusted[0] == relative(6 * 0.01 / 4));
    CHECK(adjusted[2] == relative(2 * 0.01));
    CHECK(adjusted[1] == relative(0.04));
    CHECK(holm(p, std::vector<double>{2, 2, 2}) == holm(p));
}

TEST_CASE("the smallest showable mean approaches the normal theory with many values") {
    // Source: closed form. For a normal mean, z(0.975) + z(0.8) = 1.959964 + 0.841621 standard errors.
    CHECK(smallest_showable({0, 1, 1e5}, 0.05, 0.8) == relative(2.801585).epsilon(1e-3));
    // With few values more is needed.
    CHECK(smallest_showable({0, 1, 5}, 0.05, 0.8) > 3.3);
    CHECK(smallest_showable({0, 0, 5}, 0.05, 0.8) == 0);
}

TEST_CASE("no scatter is certainty, not a division by zero") {
    CHECK(p_value({0.1, 0, 3}) == 0);
    CHECK(p_value({0, 0, 3}) == 1);
    CHECK(equivalence_p({0.01, 0, 3}, 0.05) == 0);
    CHECK(equivalence_p({0.06, 0, 3}, 0.05) == 1);
}
