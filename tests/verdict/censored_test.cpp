// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/censored.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

CensoredSample sample(const std::vector<double>& before, const std::vector<double>& after, double bound) {
    CensoredSample s;
    s.before = before;
    for (const double value : after) {
        s.after.push_back(value < bound ? std::nullopt : std::optional(value));
        s.bound.push_back(bound);
    }
    s.wanted.assign(after.size(), true);
    return s;
}

} // namespace

TEST_CASE("with nothing hidden the mean is the plain one and nothing is added between") {
    const auto mean = complete_mean(sample({1, 2, 3, 4}, {0.5, 1.4, 2.6, 3.5}, -10));
    CHECK(mean.all == doctest::Approx(-0.5));
    CHECK(mean.between_all == doctest::Approx(0));
    CHECK(mean.spread.degrees_of_freedom == 3);
}

TEST_CASE("hidden values of many come out near the truth, far from leaving them out") {
    // Source: closed form. 400 quantiles of the standard normal, the lower third hidden: mean 0; left out,
    // the mean is phi(-0.43)/(2/3) = 0.545.
    std::vector<double> after;
    for (int i = 0; i < 400; ++i) {
        const double p = (i + 0.5) / 400;
        double low = -6, high = 6;
        for (int step = 0; step < 60; ++step) {
            const double middle = 0.5 * (low + high);
            (0.5 * std::erfc(-middle / std::sqrt(2.0)) < p ? low : high) = middle;
        }
        after.push_back(low);
    }
    const auto mean = complete_mean(sample({}, after, -0.4307));
    CHECK(std::abs(mean.all) < 0.03);
    CHECK(mean.spread.variance == doctest::Approx(1).epsilon(0.1));
    CHECK(mean.between_all > 0);
}

TEST_CASE("a hidden value follows its value before where the others do") {
    // after = before − 0.5 with hardly any scatter; the two lowest are hidden far above their values.
    const std::vector<double> before = {0.0, 0.3, 0.6, 0.9, -0.8, -1.0};
    const auto mean = complete_mean(sample(before, {-0.51, -0.19, 0.1, 0.41, -1.3, -1.5}, -0.6));
    CHECK(mean.all == doctest::Approx(-0.5).epsilon(0.1));
}

TEST_CASE("the same sample gives the same result") {
    const auto s = sample({0, 0.1, 0.2, 0.1}, {-0.5, -0.3, -0.9, -0.2}, -0.6);
    CHECK(complete_mean(s).all == complete_mean(s).all);
}

TEST_CASE("degrees of freedom after completion fall with what is missing") {
    // Source: published, Barnard and Rubin 1999, equation for the observed-data degrees of freedom.
    CHECK(freedom_after_completion(1, 0, 5) == doctest::Approx(5.0 * 6 / 8));
    CHECK(freedom_after_completion(1, 1, 5) == doctest::Approx(5.0 * 6 / 8 / 2));
    CHECK(freedom_after_completion(1, 1000, 5) == 1);
}
