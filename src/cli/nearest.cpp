// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/nearest.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

/// How many letters must be changed, added or dropped to turn one word into the other.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j)
        row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({replaced, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row.back();
}

} // namespace

std::string did_you_mean(std::string_view word, const std::vector<std::string>& known) {
    const auto closer = [&](const auto& a, const auto& b) {
        return edit_distance(word, a) < edit_distance(word, b);
    };
    const auto nearest = std::min_element(known.begin(), known.end(), closer);
    if (nearest == known.end() || edit_distance(word, *nearest) > 2)
        return ".";
    return "; did you mean " + *nearest + "?";
}

} // namespace ebbmark
