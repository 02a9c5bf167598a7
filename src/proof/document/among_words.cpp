// SPDX-License-Identifier: GPL-3.0-or-later
// A table that leaves room beside it, and the short texts that stand there.
#include "proof/document/pieces.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double column_gap = 16, entry_gap = 5;
constexpr double least_column = 120; ///< five or six words in a line
constexpr double word_size = 7.4;    ///< that of the table

/// Entries below each other, the first at the column's top.
struct Column {
    double x = 0, width = 0, height = 0;
};

/// For each entry whether it stands below the table: so that the longer column is as short as can be. The
/// first always stands beside the table, where the reader looks first.
std::vector<bool> dealt(const std::vector<double>& below, const std::vector<double>& beside,
                        double table_height) {
    std::vector<bool> best(below.size(), false);
    double least = INFINITY;
    for (unsigned deal = 0; deal < 1u << below.size(); deal += 2) {
        double left = table_height, right = 0;
        for (std::size_t i = 0; i < below.size(); ++i)
            (deal >> i & 1u ? left : right) += entry_gap + (deal >> i & 1u ? below : beside)[i];
        if (std::max(left, right) >= least)
            continue;
        least = std::max(left, right);
        for (std::size_t i = 0; i < below.size(); ++i)
            best[i] = deal >> i & 1u;
    }
    return best;
}

std::vector<double> heights(const DocumentColumns& words, double width) {
    std::vector<double> heights;
    Canvas tried(0, 0);
    for (const DocumentColumns::Entry& entry : words.entries)
        heights.push_back(draw_entry(tried, {0, 0}, width, entry, word_size));
    return heights;
}

} // namespace

std::optional<Piece> table_among_words(const DocumentTable& table, const DocumentColumns& words,
                                       double width) {
    Column left{0, table_width(table, width), 0};
    Column right{left.width + column_gap, width - left.width - column_gap, 0};
    if (right.width < least_column)
        return {};
    std::vector<Piece> rows;
    add_pieces(rows, table, left.width, Pages::one);
    Piece piece = stacked(rows);
    left.height = piece.height;
    const auto stands_below = dealt(heights(words, left.width), heights(words, right.width), left.height);
    for (std::size_t i = 0; i < words.entries.size(); ++i) {
        Column& column = stands_below[i] ? left : right;
        column.height += column.height > 0 ? entry_gap : 0;
        column.height +=
            draw_entry(piece.canvas, {column.x, column.height}, column.width, words.entries[i], word_size);
    }
    piece.height = std::max(left.height, right.height);
    return piece;
}

} // namespace ebbmark
