// SPDX-License-Identifier: GPL-3.0-or-later
// Tables on paper.
#include "proof/document/pieces.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"

#include <algorithm>
#include <numeric>

namespace ebbmark {

namespace {

constexpr double table_gap = 9, column_gap = 9;
constexpr double least_words = 40; ///< a column of words narrower than this can't be read

constexpr double size = 7.4, close_row_gap = 0.4;
constexpr double small_digits = 5.9; ///< 64 of them beside a long file name

/// Sizes that all rows of a table share.
struct Measures {
    std::vector<double> widths;
    double digits = size;
    double row_gap = 1.9; ///< between the lines of one row and of the next, the rule in the middle

    double width() const {
        return std::accumulate(widths.begin(), widths.end(), 0.0) +
               column_gap * static_cast<double>(widths.size() - 1);
    }
};

TextStyle cell_style() {
    return {size, palette::ink};
}

TextStyle styled(const DocumentColumn& column, const DocumentRow& row, double digits) {
    TextStyle style = cell_style();
    if (column.fixed_pitch) {
        style.fixed_pitch = true;
        style.size = digits;
    }
    style.bold = row.strong && column.words;
    if (row.quiet)
        style.colour = palette::quiet;
    return style;
}

double widest_word(const std::string& text, const TextStyle& style) {
    double width = 0;
    std::size_t from = 0;
    while (from <= text.size()) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        width = std::max(width, text_width(text.substr(from, to - from), style));
        from = to + 1;
    }
    return width;
}

struct Needed {
    double natural = 0; ///< without a broken line
    double least = 0;
};

Needed needed_by(const DocumentTable& table, std::size_t i, double digits) {
    const DocumentColumn& column = table.columns[i];
    TextStyle head = cell_style();
    head.bold = true;
    Needed needed;
    const double unit = text_width(column.unit, cell_style());
    needed.natural = std::max(text_width(column.head, head), unit);
    needed.least = std::max(widest_word(column.head, head), unit);
    for (const DocumentRow& row : table.rows) {
        const double width = text_width(row.cells[i], styled(column, row, digits));
        needed.natural = std::max(needed.natural, width);
        needed.least = std::max(needed.least, column.words ? std::min(width, least_words) : width);
    }
    if (!column.words) // a long head alone makes no column of figures wide
        needed.natural = needed.least;
    return needed;
}

/// Natural widths where they fit; else columns of words give way, the widest first.
std::vector<double> column_widths(const DocumentTable& table, double width, double digits) {
    std::vector<double> widths, least;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const Needed needed = needed_by(table, i, digits);
        widths.push_back(needed.natural);
        least.push_back(needed.least);
    }
    const double room = width - column_gap * static_cast<double>(widths.size() - 1);
    while (true) {
        const double excess = std::accumulate(widths.begin(), widths.end(), 0.0) - room;
        if (excess <= 0.01)
            return widths;
        std::size_t widest = widths.size();
        double second = 0;
        for (std::size_t i = 0; i < widths.size(); ++i) {
            if (widths[i] <= least[i] + 0.01)
                continue;
            if (widest == widths.size() || widths[i] > widths[widest]) {
                second = widest == widths.size() ? second : widths[widest];
                widest = i;
            } else {
                second = std::max(second, widths[i]);
            }
        }
        if (widest == widths.size()) { // nothing gives way any more: all shrink, and words break
            for (double& one : widths)
                one *= room / (room + excess);
            return widths;
        }
        const double floor = std::max({least[widest], second - 1, widths[widest] - excess});
        widths[widest] = std::min(floor, widths[widest] - 0.5);
        widths[widest] = std::max(widths[widest], least[widest]);
    }
}

/// Whole digits as large as words where everything fits beside them, else small ones.
Measures measures_of(const DocumentTable& table, double width) {
    const bool has_digits = std::any_of(table.columns.begin(), table.columns.end(),
                                        [](const DocumentColumn& column) { return column.fixed_pitch; });
    double natural = column_gap * static_cast<double>(table.columns.size()) - column_gap;
    for (std::size_t i = 0; has_digits && i < table.columns.size(); ++i)
        natural += needed_by(table, i, size).natural;
    const double digits = natural <= width + 0.01 ? size : small_digits;
    return {column_widths(table, width, digits), digits};
}

/// One line of cells; `pick` gives the words and style of a column. Returns its height.
template <typename Pick>
double draw_cells(Canvas& canvas, const DocumentTable& table, const Measures& measures, double top,
                  const char* role, const Pick& pick) {
    const auto& widths = measures.widths;
    double x = 0, bottom = top;
    canvas.add(Mark{"TR", true});
    for (std::size_t i = 0; i < widths.size(); ++i) {
        auto [words, style] = pick(i);
        const bool left = table.columns[i].words || table.columns[i].fixed_pitch;
        style.anchor = left ? Anchor::start : Anchor::end;
        double y = top;
        canvas.add(Mark{role, true});
        for (const std::string& line : broken_lines(words, style, widths[i] + 0.5)) {
            canvas.text({left ? x : x + widths[i], y + 0.93 * style.size}, line, style);
            y += 1.22 * style.size;
        }
        canvas.add(Mark{role, false});
        bottom = std::max(bottom, y);
        x += widths[i] + column_gap;
    }
    canvas.add(Mark{"TR", false});
    return bottom - top;
}

struct Styled {
    std::string words;
    TextStyle style;
};

std::shared_ptr<const Piece> head_of(const DocumentTable& table, const Measures& measures, double width) {
    auto piece = std::make_shared<Piece>();
    piece->above = table_gap;
    piece->sticks = true;
    double y = 0;
    if (!table.caption.empty())
        y = marked_paragraph(piece->canvas, "P", {0, 0}, width, table.caption, {8.6, palette::ink, true}) + 2;
    piece->canvas.add(Mark{"Table", true});
    const bool heads = std::any_of(table.columns.begin(), table.columns.end(),
                                   [](const DocumentColumn& column) { return !column.head.empty(); });
    if (heads)
        y += draw_cells(piece->canvas, table, measures, y, "TH", [&](std::size_t i) {
            TextStyle style = cell_style();
            style.bold = true;
            return Styled{table.columns[i].head, style};
        });
    const bool units = std::any_of(table.columns.begin(), table.columns.end(),
                                   [](const DocumentColumn& column) { return !column.unit.empty(); });
    if (units)
        y += draw_cells(piece->canvas, table, measures, y, "TH", [&](std::size_t i) {
            TextStyle style = cell_style();
            style.colour = palette::quiet;
            return Styled{table.columns[i].unit, style};
        });
    piece->canvas.add(Mark{"Table", false});
    const double all = measures.width();
    y += 1.5;
    piece->canvas.line({0, y}, {all, y}, {palette::rule, 0.8, {}});
    piece->height = y + 1.5;
    return piece;
}

Piece row_piece(const DocumentTable& table, const DocumentRow& row, const Measures& measures) {
    Piece piece;
    const double y = measures.row_gap / 2; // with a rule and without, so that halves of a table stay level
    if (row.opens_group)
        piece.canvas.line({0, 0}, {measures.width(), 0}, {palette::grid, 0.6, {}});
    piece.canvas.add(Mark{"Table", true});
    piece.height = 2 * y + draw_cells(piece.canvas, table, measures, y, "TD", [&](std::size_t i) {
                       return Styled{row.cells[i], styled(table.columns[i], row, measures.digits)};
                   });
    piece.canvas.add(Mark{"Table", false});
    return piece;
}

/// The pieces of one column of tables.
std::vector<Piece> table_pieces(const DocumentTable& table, const Measures& measures, double width) {
    const auto head = head_of(table, measures, width);
    std::vector<Piece> pieces = {*head};
    for (std::size_t i = 0; i < table.rows.size(); ++i) {
        pieces.push_back(row_piece(table, table.rows[i], measures));
        if (i > 0) // the first one follows its head in any case
            pieces.back().head = head;
        // Neither a head with one row nor one row alone: two stay together at both ends.
        const bool last = i + 1 == table.rows.size();
        pieces.back().sticks = last ? !table.key.empty() : i == 0 || i + 2 == table.rows.size();
    }
    return pieces;
}

Piece beside(const Piece& left, const Piece& right, double x) {
    Piece both = left;
    both.canvas.place(right.canvas, {x, 0});
    both.height = std::max(left.height, right.height);
    if (left.head && right.head)
        both.head = std::make_shared<Piece>(beside(*left.head, *right.head, x));
    return both;
}

// A table up to this height, in points, is not torn: at most half a sheet stays empty for it.
constexpr double kept_whole = 380;

// A long narrow table stands in two columns of tables.
constexpr std::size_t long_table = 12;
constexpr double between_halves = 30;

std::vector<Piece> halved_pieces(const DocumentTable& table, const Measures& measures, double used) {
    DocumentTable first = table, second = table;
    const auto half = static_cast<std::ptrdiff_t>((table.rows.size() + 1) / 2);
    first.rows.erase(first.rows.begin() + half, first.rows.end());
    second.rows.erase(second.rows.begin(), second.rows.begin() + half);
    if (!second.caption.empty())
        second.caption = "\u00a0"; // the height of the other's
    std::vector<Piece> pieces = table_pieces(first, measures, used);
    const std::vector<Piece> right = table_pieces(second, measures, used);
    for (std::size_t i = 0; i < right.size(); ++i)
        pieces[i] = beside(pieces[i], right[i], used + between_halves);
    return pieces;
}

} // namespace

double table_width(const DocumentTable& table, double width) {
    return measures_of(table, width).width();
}

void add_pieces(std::vector<Piece>& pieces, const DocumentTable& table, double width, Pages pages) {
    Measures measures = measures_of(table, width);
    if (pages == Pages::one)
        measures.row_gap = close_row_gap;
    const double used = measures.width();
    const bool halved = table.rows.size() >= long_table && 2 * used + between_halves <= width &&
                        text_width(table.caption, {8.6, {}, true}) < used;
    auto added = halved ? halved_pieces(table, measures, used) : table_pieces(table, measures, width);
    if (pages == Pages::as_needed && height_of(added) <= kept_whole)
        for (std::size_t i = 0; i < added.size(); ++i)
            added[i].sticks = i + 1 < added.size() || !table.key.empty();
    pieces.insert(pieces.end(), added.begin(), added.end());
    if (table.key.empty())
        return;
    Piece key;
    key.above = 3;
    key.height = marked_paragraph(key.canvas, "P", {0, 0}, width, table.key, paper_style::quiet());
    pieces.push_back(std::move(key));
}

} // namespace ebbmark
