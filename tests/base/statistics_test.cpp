// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/normal.hpp"
#include "base/order_statistics.hpp"
#include "base/student.hpp"

#include <doctest/doctest.h>

#include <cmath>

namespace ebbmark {

namespace {

TEST_CASE("the medians are the two in the middle of an even count, and one of an odd") {
    CHECK(upper_median({4, 1, 3, 2}) == 3);
    CHECK(lower_median({4, 1, 3, 2}) == 2);
    CHECK(upper_median({9, 1, 5}) == 5);
    CHECK(lower_median({9, 1, 5}) == 5);
    CHECK(upper_median({7}) == 7);
    CHECK(lower_median({7}) == 7);
}

TEST_CASE("order statistics count from the smallest") {
    CHECK(order_statistic({5, -1, 3}, 0) == -1);
    CHECK(order_statistic({5, -1, 3}, 1) == 3);
    CHECK(order_statistic({5, -1, 3}, 2) == 5);
}

TEST_CASE("quantiles are interpolated between their neighbours") {
    // Source: closed form. R. J. Hyndman, Y. Fan, Am. Stat. 50 (1996) 361, definition 7: of 1, 2, 3, 4 the
    // quartiles are 1.75 and 3.25.
    CHECK(interpolated_quantile({4, 1, 3, 2}, 0.25) == doctest::Approx(1.75).epsilon(1e-12));
    CHECK(interpolated_quantile({4, 1, 3, 2}, 0.75) == doctest::Approx(3.25).epsilon(1e-12));
    CHECK(interpolated_quantile({4, 1, 3, 2}, 0) == 1);
    CHECK(interpolated_quantile({4, 1, 3, 2}, 1) == 4);
    CHECK(interpolated_quantile({6}, 0.975) == 6);
}

TEST_CASE("points of the normal distribution hold their share") {
    // Source: closed form, erf(z / √2). The table's six and five digits leave 1e-7 and 2e-6.
    CHECK(std::abs(std::erf(normal_two_sided_95 / std::sqrt(2)) - 0.95) < 1e-7);
    CHECK(std::abs(std::erf(normal_median_magnitude / std::sqrt(2)) - 0.5) < 2e-6);
}

TEST_CASE("Student's t meets its tables") {
    // Source: published tables, from memory: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions,
    // table 26.10, to three decimals.
    struct Row {
        double confidence, degrees, t;
    };
    for (const Row& row :
         {Row{0.95, 1, 12.706}, Row{0.95, 2, 4.303}, Row{0.95, 3, 3.182}, Row{0.95, 4, 2.776},
          Row{0.95, 5, 2.571}, Row{0.95, 10, 2.228}, Row{0.95, 20, 2.086}, Row{0.95, 60, 2.000},
          Row{0.9, 5, 2.015}, Row{0.99, 5, 4.032}, Row{0.99, 30, 2.750}}) {
        CAPTURE(row.degrees);
        CHECK(std::abs(student_two_sided(row.confidence, row.degrees) - row.t) < 5.1e-4);
        CHECK(student_upper_tail(student_two_sided(row.confidence, row.degrees), row.degrees) ==
              doctest::Approx((1 - row.confidence) / 2).epsilon(1e-9));
    }
    // Source: closed form of one degree, a Cauchy variate: tan(π confidence / 2).
    CHECK(student_two_sided(0.95, 1) == doctest::Approx(std::tan(0.95 * std::acos(-1.0) / 2)).epsilon(1e-10));
    CHECK(std::abs(student_two_sided(0.95, INFINITY) - normal_two_sided_95) < 1e-6);
}

} // namespace

} // namespace ebbmark
