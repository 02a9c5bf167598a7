// SPDX-License-Identifier: GPL-3.0-or-later
// The parts of a document as pieces for paper: each is drawn on its own and never broken.
#pragma once

#include "proof/document/document.hpp"

#include <memory>
#include <string>
#include <vector>

namespace ebbmark {

struct Piece {
    Canvas canvas{0, 0};
    double height = 0;
    double above = 0;    ///< gap to the piece before, where that is on the same page
    bool sticks = false; ///< stays on one page with the next piece
    bool opens_page = false;
    std::shared_ptr<const Piece> head; ///< drawn above where the piece comes first on a page
    std::string outline;               ///< a heading's words
};

/// The whole document, its title first, for lines of this width and charts at most this high.
std::vector<Piece> pieces_of(const Document& document, double width, double most_height);

/// A table's pieces: caption and heads, then row by row, then its key.
void add_pieces(std::vector<Piece>& pieces, const DocumentTable& table, double width);

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
