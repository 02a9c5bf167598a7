// SPDX-License-Identifier: GPL-3.0-or-later
// The parts of a document as pieces for paper: each is drawn on its own and never broken.
#pragma once

#include "proof/document/document.hpp"

#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Whether tables that have a shorter form show it.
enum class Detail { whole, shorter };

struct Piece {
    Canvas canvas{0, 0};
    double height = 0;
    double above = 0;    ///< gap to the piece before, where that is on the same page
    bool sticks = false; ///< stays on one page with the next piece
    bool opens_page = false;
    std::shared_ptr<const Piece> head; ///< drawn above where the piece comes first on a page
    std::string outline;               ///< a heading's words
};

/// What the pieces are made for.
struct Layout {
    double width = 0;               ///< of lines
    double most_height = 0;         ///< of a chart
    Pages pages = Pages::as_needed; ///< one: rows are close, paragraphs run on, words stand around tables
    double chart_font = 7.6;        ///< size of type in charts
    double chart_share = 1;         ///< of the height that a chart asks for
    Detail detail = Detail::whole;  ///< of tables
    std::size_t most_paragraphs = std::numeric_limits<std::size_t>::max(); ///< of a text that may be cut
};

/// The whole document, its title first.
std::vector<Piece> pieces_of(const Document& document, const Layout& layout);

/// Height of all pieces below each other.
double height_of(const std::vector<Piece>& pieces);

/// All pieces below each other as one.
Piece stacked(const std::vector<Piece>& pieces);

/// A table's pieces: caption and heads, then row by row, then its key; for one page with close rows.
void add_pieces(std::vector<Piece>& pieces, const DocumentTable& table, double width,
                Pages pages = Pages::as_needed);

/// Width that a table takes of `width`.
double table_width(const DocumentTable& table, double width);

/// For one page: a table with short texts beside it and below it, dealt out so that both columns end as near
/// each other as can be; nothing where the table leaves no room beside it.
std::optional<Piece> table_among_words(const DocumentTable& table, const DocumentColumns& words,
                                       double width);

/// A heading and its paragraphs; returns their height.
double draw_entry(Canvas& canvas, Spot top_left, double width, const DocumentColumns::Entry& entry,
                  double size);

/// SIMULATED across a whole page, pale.
void draw_watermark(Canvas& page);

/// A paragraph as a part of the text's structure; returns its height.
double marked_paragraph(Canvas& canvas, const std::string& role, Spot top_left, double width,
                        const std::string& text, const TextStyle& style);

/// Sizes of everything on paper, in points.
namespace paper_style {
TextStyle body();
TextStyle heading();
TextStyle quiet();
} // namespace paper_style

} // namespace ebbmark
