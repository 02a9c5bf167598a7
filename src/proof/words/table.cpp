// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/table.hpp"

#include "proof/text/guarded.hpp"

#include <algorithm>
#include <numeric>

namespace ebbmark {

namespace {

std::string padded(const std::string& text, std::size_t width, bool left) {
    const std::size_t used = ebbmark::columns(text);
    const std::string blanks(width > used ? width - used : 0, ' ');
    return left ? text + blanks : blanks + text;
}

/// Plain blanks for no-break spaces, none at the end.
std::string finished(std::string line) {
    for (std::size_t at = line.find("\u00a0"); at != std::string::npos; at = line.find("\u00a0", at))
        line.replace(at, 2, " ");
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

/// The line of group headings: each stands over the start of its first column and may run over the group's
/// width.
std::string group_line(const std::vector<Column>& columns, const std::vector<std::size_t>& widths,
                       std::size_t gap) {
    std::string line;
    std::size_t start = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const bool opens = !columns[i].group.empty() && (i == 0 || columns[i - 1].group != columns[i].group);
        if (opens) {
            line.resize(std::max(line.size(), start), ' ');
            line += padded(columns[i].group, columns[i].left ? 0 : widths[i], false);
        }
        start += widths[i] + gap;
    }
    return finished(line);
}

} // namespace

std::string table_text(const std::vector<Column>& columns,
                       const std::vector<std::vector<std::string>>& rows) {
    std::vector<std::size_t> widths;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        std::size_t width = std::max(ebbmark::columns(columns[i].head), ebbmark::columns(columns[i].unit));
        for (const auto& row : rows)
            width = std::max(width, ebbmark::columns(row[i]));
        widths.push_back(width);
    }
    const std::size_t content = std::accumulate(widths.begin(), widths.end(), std::size_t{0});
    const std::size_t gap = content + 2 * (columns.size() - 1) <= terminal_columns ? 2 : 1;

    std::string text;
    if (std::any_of(columns.begin(), columns.end(), [](const Column& c) { return !c.group.empty(); }))
        text += group_line(columns, widths, gap) + '\n';
    const auto add_line = [&](const auto& content_of) {
        std::string line;
        for (std::size_t i = 0; i < columns.size(); ++i)
            line += (i == 0 ? "" : std::string(gap, ' ')) + padded(content_of(i), widths[i], columns[i].left);
        text += finished(line) + '\n';
    };
    add_line([&](std::size_t i) { return columns[i].head; });
    if (std::any_of(columns.begin(), columns.end(), [](const Column& c) { return !c.unit.empty(); }))
        add_line([&](std::size_t i) { return columns[i].unit; });
    for (const auto& row : rows)
        add_line([&](std::size_t i) { return row[i]; });
    return text;
}

std::string wrapped(const std::string& text, std::size_t width, std::size_t indent,
                    const std::string& first) {
    std::string result, line = first.empty() ? std::string(indent, ' ') : first;
    bool fresh = true;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        at = end + 1;
        if (word.empty())
            continue;
        if (!fresh && ebbmark::columns(line) + 1 + ebbmark::columns(word) > width) {
            result += finished(line) + '\n';
            line = std::string(indent, ' ');
            fresh = true;
        }
        line += (fresh ? "" : " ") + word;
        fresh = false;
    }
    return result + finished(line) + '\n';
}

} // namespace ebbmark
