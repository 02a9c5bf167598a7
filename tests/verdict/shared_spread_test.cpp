// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/shared_spread.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

std::vector<BandSpread> bands(const std::vector<double>& variances, double freedom) {
    std::vector<BandSpread> list;
    for (std::size_t i = 0; i < variances.size(); ++i)
        list.push_back({{variances[i], freedom}, 1, static_cast<double>(i)});
    return list;
}

} // namespace

TEST_CASE("fewer than three other bands lend nothing") {
    CHECK(prior_from_others(bands({1, 2, 3}, 5), 0).degrees_of_freedom == 0);
    CHECK(prior_from_others(bands({1, 2, 3, 4}, 5), 0).degrees_of_freedom > 0);
}

TEST_CASE("bands that agree lend many degrees of freedom, bands that differ few") {
    const auto agree = prior_from_others(bands({1, 1.1, 0.9, 1, 1.05, 0.95, 1, 1}, 5), 3);
    const auto differ = prior_from_others(bands({1, 30, 0.02, 8, 0.1, 50, 0.01, 2}, 5), 3);
    CHECK(agree.variance == doctest::Approx(1).epsilon(0.25));
    CHECK(agree.degrees_of_freedom > 15);
    CHECK(differ.degrees_of_freedom < 2);
}

TEST_CASE("the prior follows the expected variance and a slope over frequency") {
    auto list = bands({8, 4, 2, 1, 0.5, 0.25, 0.125, 0.0625}, 5);
    CHECK(prior_from_others(list, 0).variance == doctest::Approx(8).epsilon(0.35));
    for (auto& band : list)
        band.expected = band.own.variance; // then nothing is left to explain
    CHECK(prior_from_others(list, 7).variance == doctest::Approx(0.0625).epsilon(0.35));
}

TEST_CASE("a band is left out of its own prior") {
    auto list = bands({1, 1.2, 0.8, 1.1, 0.9, 1, 1}, 5);
    const auto calm = prior_from_others(list, 2);
    list[2].own.variance = 1000;
    CHECK(prior_from_others(list, 2).variance == calm.variance);
}

TEST_CASE("own scatter and prior pool by degrees of freedom") {
    const Spread both = pooled({2, 5}, {1, 15});
    CHECK(both.variance == doctest::Approx(1.25));
    CHECK(both.degrees_of_freedom == 20);
    CHECK(pooled({}, {}).degrees_of_freedom == 0);
}
