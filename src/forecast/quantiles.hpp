// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace ebbmark {

/// Linear between the order statistics; `part` in 0 to 1, `values` not empty.
inline double quantile(std::vector<double> values, double part) {
    std::sort(values.begin(), values.end());
    const double place = part * static_cast<double>(values.size() - 1);
    const auto low = static_cast<std::size_t>(place);
    const auto high = std::min(low + 1, values.size() - 1);
    return values[low] + (place - static_cast<double>(low)) * (values[high] - values[low]);
}

} // namespace ebbmark
