// SPDX-License-Identifier: GPL-3.0-or-later
// What the scenario programs print: quantiles, and rates with their interval.
#pragma once

#include "base/order_statistics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace ebbmark::tests {

/// Linear between the order statistics; NaN of nothing.
inline double quantile(std::vector<double> values, double part) {
    return values.empty() ? NAN : interpolated_quantile(std::move(values), part);
}

/// A rate with its 95 % interval (Wilson).
inline std::string rate(int hits, int count) {
    if (count == 0)
        return "none";
    const double n = count, p = hits / n, z = 1.96;
    const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
    const double half = z / (1 + z * z / n) * std::sqrt(p * (1 - p) / n + z * z / (4 * n * n));
    return fmt::format("{:6.2f} % ({:.2f}-{:.2f}) of {}", 100 * p, 100 * (middle - half),
                       100 * (middle + half), count);
}

} // namespace ebbmark::tests
