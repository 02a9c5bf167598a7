// SPDX-License-Identifier: GPL-3.0-or-later
// Student's t distribution, from Boost.Math. Degrees of freedom above 0 may be broken or infinite.
#pragma once

namespace ebbmark {

/// The point that |t| stays below with probability `confidence`, 0 < confidence < 1.
double student_two_sided(double confidence, double degrees_of_freedom);

/// P(T > t).
double student_upper_tail(double t, double degrees_of_freedom);

} // namespace ebbmark
