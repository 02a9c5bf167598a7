// SPDX-License-Identifier: GPL-3.0-or-later
// Medians and quantiles, each by its definition: for few values they differ.
#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace ebbmark {

/// The value that `rank` others do not exceed, 0 the smallest; `rank` < size.
inline double order_statistic(std::vector<double> values, std::size_t rank) {
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

/// Of an even count the greater, or the smaller, of the two in the middle; `values` not empty.
inline double upper_median(std::vector<double> values) {
    const std::size_t rank = values.size() / 2;
    return order_statistic(std::move(values), rank);
}
inline double lower_median(std::vector<double> values) {
    const std::size_t rank = (values.size() - 1) / 2;
    return order_statistic(std::move(values), rank);
}

/// Linear between the order statistics, the first at `part` 0 and the last at 1; `values` not empty.
inline double interpolated_quantile(std::vector<double> values, double part) {
    std::sort(values.begin(), values.end());
    const double place = part * static_cast<double>(values.size() - 1);
    const auto low = static_cast<std::size_t>(place);
    const auto high = std::min(low + 1, values.size() - 1);
    return values[low] + (place - static_cast<double>(low)) * (values[high] - values[low]);
}

} // namespace ebbmark
