// SPDX-License-Identifier: GPL-3.0-or-later
// A table for the terminal: columns as wide as their content, right-aligned unless asked otherwise.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace ebbmark {

/// Lines wider than this do not fit the terminals that people use.
constexpr std::size_t terminal_columns = 100;

struct Column {
    std::string group; ///< heading above; neighbours with the same text share it
    std::string head;
    std::string unit;  ///< second line of the heading
    bool left = false; ///< left-aligned, for words
};

/// Lays out `rows` (each as long as `columns`). Gaps shrink from two blanks to one where the table would be
/// wider than the terminal.
std::string table_text(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows);

/// `text` broken at blanks (no-break spaces hold together and become blanks) into lines of at most `width`
/// columns, each with `indent` blanks in front of it; `first` replaces the first indent.
std::string wrapped(const std::string& text, std::size_t width = terminal_columns, std::size_t indent = 0,
                    const std::string& first = "");

} // namespace ebbmark
