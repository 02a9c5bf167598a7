// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/student.hpp"

#include <boost/math/distributions/students_t.hpp>

#include <algorithm>

namespace ebbmark {

namespace {

/// From here on Student's t is the normal distribution to ten digits.
constexpr double largest_freedom = 1e10;

boost::math::students_t student(double degrees_of_freedom) {
    return boost::math::students_t(std::min(degrees_of_freedom, largest_freedom));
}

} // namespace

double student_two_sided(double confidence, double degrees_of_freedom) {
    return boost::math::quantile(student(degrees_of_freedom), 0.5 * (1 + confidence));
}

double student_upper_tail(double t, double degrees_of_freedom) {
    return boost::math::cdf(complement(student(degrees_of_freedom), t));
}

} // namespace ebbmark
