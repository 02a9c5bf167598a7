// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/pieces.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/common_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

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
constexpr double column_size = 8;
constexpr double close_gaps = 0.6; ///< of the usual ones, where one page is to hold everything

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
    PartWriter(std::vector<Piece>& pieces, const Layout& layout)
        : pieces_(pieces), layout_(layout), width_(layout.width) {}

    void operator()(const DocumentText& text) {
        Piece piece;
        piece.above = text.kind == TextKind::finding ? part_gap : paragraph_gap;
        piece.height = marked_paragraph(piece.canvas, "P", {0, 0}, width_, text.words, style_of(text.kind));
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentTable& table) { add_pieces(pieces_, table, width_, layout_.pages); }

    void operator()(const DocumentChart& chart) {
        Piece piece;
        Canvas& canvas = piece.canvas;
        piece.above = part_gap;
        canvas.add(Mark{"Figure", true});
        double y = chart.caption.empty()
                       ? 0
                       : canvas.paragraph({0, 0}, width_, chart.caption, paper_style::body()) + 4;
        const double height = std::min(layout_.chart_share * chart.height * width_, layout_.most_height - y);
        canvas.place(chart.draw({width_, height, layout_.chart_font}), {0, y});
        canvas.add(Mark{"Figure", false});
        piece.height = y + height;
        pieces_.push_back(std::move(piece));
    }

    void operator()(const DocumentPhoto& photo) {
        const double scale =
            std::min(width_ / photo.photo.width, 0.38 * layout_.most_height / photo.photo.height);
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
            double& at = y[side];
            at += at > 0 ? part_gap : 0;
            at += draw_entry(piece.canvas, {x, at}, each, columns.entries[i], column_size);
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
    const Layout& layout_;
    double width_;
};

/// As the layout wants it: in its shorter form, cut.
DocumentPart fitted(DocumentPart part, const Layout& layout) {
    if (auto* table = std::get_if<DocumentTable>(&part))
        if (layout.detail == Detail::shorter && table->shorter)
            return *table->shorter;
    if (auto* columns = std::get_if<DocumentColumns>(&part))
        for (DocumentColumns::Entry& entry : columns->entries) {
            if (entry.left_out.empty() || entry.paragraphs.size() <= layout.most_paragraphs)
                continue;
            const std::size_t left_out = entry.paragraphs.size() - layout.most_paragraphs;
            entry.paragraphs.resize(layout.most_paragraphs);
            entry.paragraphs.push_back(fmt::format(fmt::runtime(entry.left_out), left_out));
        }
    return part;
}

/// Neighbouring paragraphs as one.
std::vector<DocumentPart> run_together(const std::vector<DocumentPart>& parts) {
    std::vector<DocumentPart> result;
    for (const DocumentPart& part : parts) {
        const auto* text = std::get_if<DocumentText>(&part);
        auto* before = result.empty() ? nullptr : std::get_if<DocumentText>(&result.back());
        if (text && before && text->kind == TextKind::body && before->kind == TextKind::body)
            before->words += ' ' + text->words;
        else
            result.push_back(part);
    }
    return result;
}

void add_parts_of_one_page(std::vector<Piece>& pieces, const std::vector<DocumentPart>& parts,
                           const Layout& layout) {
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const DocumentPart part = fitted(parts[i], layout);
        const DocumentPart next = i + 1 < parts.size() ? fitted(parts[i + 1], layout) : DocumentPart{};
        const auto* table = std::get_if<DocumentTable>(&part);
        const auto* words = std::get_if<DocumentColumns>(&next);
        auto both = table && words ? table_among_words(*table, *words, layout.width) : std::nullopt;
        if (both) {
            pieces.push_back(std::move(*both));
            ++i;
        } else {
            std::visit(PartWriter(pieces, layout), part);
        }
    }
}

void add_parts(std::vector<Piece>& pieces, const std::vector<DocumentPart>& parts, const Layout& layout) {
    if (layout.pages == Pages::one)
        return add_parts_of_one_page(pieces, run_together(parts), layout);
    for (const DocumentPart& part : parts)
        std::visit(PartWriter(pieces, layout), part);
}

} // namespace

double marked_paragraph(Canvas& canvas, const std::string& role, Spot top_left, double width,
                        const std::string& text, const TextStyle& style) {
    canvas.add(Mark{role, true});
    const double height = canvas.paragraph(top_left, width, text, style);
    canvas.add(Mark{role, false});
    return height;
}

double draw_entry(Canvas& canvas, Spot top_left, double width, const DocumentColumns::Entry& entry,
                  double size) {
    const double x = top_left.x;
    TextStyle head = caption_style();
    head.size *= size / column_size;
    double y = top_left.y;
    y += marked_paragraph(canvas, "H3", {x, y}, width, entry.heading, head);
    for (const std::string& words : entry.paragraphs)
        y += paragraph_gap / 2 + marked_paragraph(canvas, "P", {x, y}, width, words, {size, palette::ink});
    return y - top_left.y;
}

double height_of(const std::vector<Piece>& pieces) {
    double height = 0;
    for (const Piece& piece : pieces)
        height += (&piece == &pieces.front() ? 0 : piece.above) + piece.height;
    return height;
}

Piece stacked(const std::vector<Piece>& pieces) {
    Piece all;
    for (const Piece& piece : pieces) {
        if (&piece == &pieces.front())
            all.above = piece.above;
        else
            all.height += piece.above;
        all.canvas.place(piece.canvas, {0, all.height});
        all.height += piece.height;
    }
    return all;
}

void draw_watermark(Canvas& page) {
    const double turn = -std::atan2(page.height(), page.width());
    // Turned text stands on its baseline, so it is moved by a third of its size to lie in the middle.
    const TextStyle style{104,   palette::watermark, true,
                          false, Anchor::middle,     turn * 180 / std::numbers::pi};
    const double lift = 0.36 * style.size;
    page.text({page.width() / 2 - lift * std::sin(turn), page.height() / 2 + lift * std::cos(turn)},
              std::string(texts::simulated_mark), style);
}

std::vector<Piece> pieces_of(const Document& document, const Layout& layout) {
    std::vector<Piece> pieces = {title_piece(document, layout.width)};
    for (const DocumentSection& section : document.sections) {
        const std::size_t first = pieces.size();
        if (!section.heading.empty())
            pieces.push_back(heading_piece(section, layout.width));
        add_parts(pieces, section.parts, layout);
        if (section.opens_page && first < pieces.size())
            pieces[first].opens_page = true;
    }
    if (layout.pages == Pages::one)
        for (Piece& piece : pieces)
            piece.above *= close_gaps;
    return pieces;
}

} // namespace ebbmark
