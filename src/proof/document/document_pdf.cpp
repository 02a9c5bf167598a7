// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/document.hpp"
#include "proof/document/one_page.hpp"
#include "proof/document/pieces.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/common_texts.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

struct Sheet {
    double width, height;
};

// ISO 216 A4 and ANSI/ASME Y14.1 A (letter), in points.
Sheet sheet_of(Paper paper) {
    return paper == Paper::a4 ? Sheet{210 / 25.4 * 72, 297 / 25.4 * 72} : Sheet{612, 792};
}

constexpr double margin_x = 45, margin_top = 40, margin_bottom = 38;

/// Puts pieces on pages, one after the other.
class Flow {
  public:
    explicit Flow(const Sheet& sheet) : sheet_(sheet) { turn(); }

    void add(const std::vector<Piece>& pieces) {
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            const bool new_page = !fresh() && (pieces[i].opens_page || height_from(pieces, i) > room());
            if (new_page) {
                turn();
                if (pieces[i].head)
                    place(*pieces[i].head);
            }
            place(pieces[i]);
        }
    }

    /// What fills the page.
    void add(const OnePage& page) {
        pages.back().place(page.canvas, {margin_x, margin_top});
        for (const OutlineEntry& entry : page.outline)
            outline.push_back({entry.heading, pages.size() - 1, margin_top + entry.y - 4});
    }

    std::vector<Canvas> pages;
    std::vector<OutlineEntry> outline;

  private:
    bool fresh() const { return y_ <= margin_top; }
    double bottom() const { return sheet_.height - margin_bottom; }
    double room() const { return bottom() - y_; }

    /// What must stay together from this piece on; no more than a page.
    double height_from(const std::vector<Piece>& pieces, std::size_t i) const {
        double height = 0;
        for (; i < pieces.size(); ++i) {
            height += pieces[i].above + pieces[i].height;
            if (!pieces[i].sticks)
                break;
        }
        return std::min(height, bottom() - margin_top);
    }

    void turn() {
        pages.emplace_back(sheet_.width, sheet_.height);
        y_ = margin_top;
    }

    void place(const Piece& piece) {
        if (!fresh())
            y_ += piece.above;
        pages.back().place(piece.canvas, {margin_x, y_});
        if (!piece.outline.empty())
            outline.push_back({piece.outline, pages.size() - 1, y_ - 4});
        y_ += piece.height;
    }

    Sheet sheet_;
    double y_ = 0;
};

void draw_edges(Canvas& page, const Document& document, std::size_t number, std::size_t all) {
    const double right = page.width() - margin_x, foot = page.height() - 20;
    const TextStyle quiet{7, palette::quiet};
    TextStyle quiet_end = quiet;
    quiet_end.anchor = Anchor::end;
    page.line({margin_x, foot - 9}, {right, foot - 9}, {palette::rule, 0.6, {}});
    page.text({margin_x, foot}, document.footer, quiet);
    page.text({right, foot}, fmt::format(fmt::runtime(texts::page_of), number, all), quiet_end);
    TextStyle top{8, palette::alarm, true, false, Anchor::end};
    std::string mark = document.mark;
    if (document.simulated)
        mark = std::string(texts::simulated_mark) + (mark.empty() ? "" : " · " + mark);
    if (!mark.empty())
        page.text({right, 27}, mark, top);
    if (number > 1)
        page.text({margin_x, 27}, document.title, {7, palette::quiet});
}

} // namespace

std::string document_pdf(const Document& document, Paper paper, Pages pages) {
    const Sheet sheet = sheet_of(paper);
    const double width = sheet.width - 2 * margin_x, height = sheet.height - margin_top - margin_bottom;
    Flow flow(sheet);
    if (pages == Pages::one)
        flow.add(one_page(document, width, height));
    else
        flow.add(pieces_of(document, {width, height}));
    std::vector<Canvas> drawn;
    for (std::size_t i = 0; i < flow.pages.size(); ++i) {
        Canvas page(sheet.width, sheet.height);
        if (document.simulated)
            draw_watermark(page);
        page.place(flow.pages[i], {0, 0});
        draw_edges(page, document, i + 1, flow.pages.size());
        drawn.push_back(std::move(page));
    }
    return to_pdf(drawn, {document.title, document.date, document.author, document.subtitle, flow.outline});
}

} // namespace ebbmark
