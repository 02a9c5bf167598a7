// SPDX-License-Identifier: GPL-3.0-or-later
// Small things that everyone does with samples.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <span>

namespace ebbmark {

/// Seconds in whole samples, at least 0.
inline std::size_t frames(double seconds, double rate_hz) {
    return static_cast<std::size_t>(std::llround(std::max(0.0, seconds) * rate_hz));
}

/// Index of the first sample of the greatest magnitude; 0 where there is none.
inline std::size_t strongest(std::span<const double> samples) {
    const auto weaker = [](double a, double b) { return std::abs(a) < std::abs(b); };
    return static_cast<std::size_t>(std::max_element(samples.begin(), samples.end(), weaker) -
                                    samples.begin());
}

/// Sum of squares.
inline double energy(std::span<const double> samples) {
    return std::inner_product(samples.begin(), samples.end(), samples.begin(), 0.0);
}

} // namespace ebbmark
