// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/pieces.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace paper_style {

TextStyle body() {
    return {8.6, palette::ink};
}
TextStyle heading() {
    return {11.5, palette::ink, true};
}
TextStyle quiet() {
    return {7.2, palette::quiet};
}

} // namespace paper_style

namespace {

constexpr double paragraph_gap = 4, part_gap = 9, section_gap = 15, column_gap = 18;
constexpr double chart_font = 7.6;

TextStyle style_of(TextKind kind) {
    switch (kind) {
    case TextKind::finding:
        return {13.5, palette::ink, true};
    case TextKind::quiet:
        return paper_style::quiet();
    case TextKind::caution:
        return {8.6, palette::alarm};
    case TextKind::digest: {
        TextStyle style{11, palette::ink, true};
        style.fixed_pitch = true;
        return style;
    }
    case TextKind::body:
        break;
    }
    return paper_style::body();
}

TextStyle caption_style() {
    return {8.6, palette::ink, true};
}

Piece title_piece(const Document& document, double width) {
    Piece piece;
    Canvas& canvas = piece.canvas;
    double y = marked_paragraph(canvas, "H1", {0, 0}, width, document.title, {18, palette::ink, true});
    y += marked_paragraph(canvas, "P", {0, y}, width, document.subtitle, {9, palette::quiet});
    y += 5;
    canvas.line({0, y}, {width, y}, {palette::ink, 1.2, {}});
    piece.height = y + 2;
    return piece;
}

Piece heading_piece(const DocumentSection& section, double width) {
    Piece piece;
    piece.above = section_gap;
    piece.sticks = true;
    piece.outline = section.heading;
    piece.height =
        marked_paragraph(piece.canvas, "H2", {0, 0}, width, section.heading, paper_style::heading());
    return piece;
}

class PartWriter {
  public:
    PartWriter(std::vector<Piece>& pieces, double width, double most_height)
        : pieces_(pieces), width_(width), most_height_(most_height) {}

    void operator()(const DocumentText& text) {
        Piece piece;
        piece.above = text.kind == TextKind::finding ? part_gap : paragraph_gap;
        piece.height = marked_paragraph(piece.canvas, "P", {0, 0}, width_, text.words, style_of(text.kind));
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentTable& table) { add_pieces(pieces_, table, width_); }

    void operator()(const DocumentChart& chart) {
        Piece piece;
        Canvas& canvas = piece.canvas;
        piece.above = part_gap;
        canvas.add(Mark{"Figure", true});
        double y = chart.caption.empty()
                       ? 0
                       : canvas.paragraph({0, 0}, width_, chart.caption, paper_style::body()) + 4;
        const double height = std::min(chart.height * width_, most_height_ - y);
        canvas.place(chart.draw({width_, height, chart_font}), {0, y});
        canvas.add(Mark{"Figure", false});
        piece.height = y + height;
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentPhoto& photo) {
        const double scale = std::min(width_ / photo.photo.width, 0.38 * most_height_ / photo.photo.height);
        Piece piece;
        piece.above = part_gap;
        const double height = scale * photo.photo.height;
        piece.canvas.add(Mark{"Figure", true});
        piece.canvas.add(Photo{{0, 0}, scale * photo.photo.width, height, photo.photo});
        piece.canvas.add(Mark{"Figure", false});
        piece.height =
            height + 3 +
            marked_paragraph(piece.canvas, "P", {0, height + 3}, width_, photo.caption, paper_style::quiet());
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentColumns& columns) {
        Piece piece;
        piece.above = part_gap;
        const double each = (width_ - column_gap) / 2;
        double y[2] = {0, 0};
        for (std::size_t i = 0; i < columns.entries.size(); ++i) {
            const std::size_t side = i % 2;
            const double x = static_cast<double>(side) * (each + column_gap);
            const auto& entry = columns.entries[i];
            double& at = y[side];
            at += (at > 0 ? part_gap : 0) +
                  marked_paragraph(piece.canvas, "H3", {x, at}, each, entry.heading, caption_style());
            for (const std::string& words : entry.paragraphs)
                at += paragraph_gap / 2 +
                      marked_paragraph(piece.canvas, "P", {x, at}, each, words, {8, palette::ink});
        }
        piece.height = std::max(y[0], y[1]);
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentFacts& facts) {
        constexpr std::size_t columns = 3;
        Piece piece;
        piece.above = 6;
        const double each = (width_ - (columns - 1) * column_gap) / columns;
        double top = 0, bottom = 0;
        for (std::size_t i = 0; i < facts.entries.size(); ++i) {
            if (i % columns == 0)
                top = bottom + (i > 0 ? 3 : 0);
            const double x = static_cast<double>(i % columns) * (each + column_gap);
            double y = top + marked_paragraph(piece.canvas, "P", {x, top}, each, facts.entries[i].first,
                                              paper_style::quiet());
            y += marked_paragraph(piece.canvas, "P", {x, y}, each, facts.entries[i].second,
                                  paper_style::body());
            bottom = std::max(bottom, y);
        }
        piece.height = bottom;
        pieces_.push_back(std::move(piece));
    }

  private:
    std::vector<Piece>& pieces_;
    double width_, most_height_;
};

} // namespace

double marked_paragraph(Canvas& canvas, const std::string& role, Spot top_left, double width,
                        const std::string& text, const TextStyle& style) {
    canvas.add(Mark{role, true});
    const double height = canvas.paragraph(top_left, width, text, style);
    canvas.add(Mark{role, false});
    return height;
}

std::vector<Piece> pieces_of(const Document& document, double width, double most_height) {
    std::vector<Piece> pieces = {title_piece(document, width)};
    for (const DocumentSection& section : document.sections) {
        const std::size_t first = pieces.size();
        if (!section.heading.empty())
            pieces.push_back(heading_piece(section, width));
        for (const DocumentPart& part : section.parts)
            std::visit(PartWriter(pieces, width, most_height), part);
        if (section.opens_page && first < pieces.size())
            pieces[first].opens_page = true;
    }
    return pieces;
}

} // namespace ebbmark
