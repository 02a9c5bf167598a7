// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/one_page.hpp"

#include "proof/document/pieces.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

/// The smallest type of tables and small print is 7.2 to 7.4 points at full size: 7 at this one.
constexpr double least_size = 0.95;
/// 6.2 points: still read on paper, and better than a remark that is not there.
constexpr double least_size_uncut = 0.85;
constexpr double wished_chart = 0.75, least_chart = 0.5, most_chart = 1.2;

/// How much is asked of a layout.
struct Squeeze {
    double size = 1; ///< of everything but charts' heights, as a part of its usual one
    Detail detail = Detail::whole;
    double least_chart = wished_chart; ///< as a part of the height that charts ask for
    std::size_t most_paragraphs = Layout{}.most_paragraphs;
};

class OnePageLayout {
  public:
    OnePageLayout(const Document& document, double width, double height)
        : document_(document), width_(width), height_(height) {}

    OnePage drawn() const {
        const Squeeze squeeze = chosen();
        Layout layout = layout_of(squeeze);
        layout.chart_share = std::clamp(chart_share(squeeze), squeeze.least_chart, most_chart);
        OnePage page;
        Canvas content(0, 0);
        double y = 0;
        for (const Piece& piece : pieces_of(document_, layout)) {
            y += y > 0 ? piece.above : 0;
            content.place(piece.canvas, {0, y});
            if (!piece.outline.empty())
                page.outline.push_back({piece.outline, 0, squeeze.size * y});
            y += piece.height;
        }
        page.canvas.place(content, {0, 0}, squeeze.size);
        return page;
    }

  private:
    Layout layout_of(const Squeeze& squeeze) const {
        Layout layout;
        layout.width = width_ / squeeze.size;
        layout.most_height = height_ / squeeze.size;
        layout.pages = Pages::one;
        layout.chart_share = squeeze.least_chart;
        layout.chart_font /= squeeze.size; // that of charts alone does not shrink
        layout.detail = squeeze.detail;
        layout.most_paragraphs = squeeze.most_paragraphs;
        return layout;
    }

    /// Height that all charts ask for in this width.
    double charts_height(double width) const {
        double height = 0;
        for (const DocumentSection& section : document_.sections)
            for (const DocumentPart& part : section.parts)
                if (const auto* chart = std::get_if<DocumentChart>(&part))
                    height += chart->height * width;
        return height;
    }

    /// The part of their height that charts may have so that all fits; negative where it does not even
    /// without them.
    double chart_share(const Squeeze& squeeze) const {
        const Layout layout = layout_of(squeeze);
        const double used = height_of(pieces_of(document_, layout)), asked = charts_height(layout.width);
        const double left = height_ / squeeze.size - used;
        if (asked == 0)
            return left < 0 ? -1 : most_chart;
        return squeeze.least_chart + left / asked;
    }

    bool fits(const Squeeze& squeeze) const { return chart_share(squeeze) >= squeeze.least_chart; }

    Squeeze chosen() const {
        Squeeze squeeze;
        for (const auto& [detail, chart] :
             {std::pair{Detail::whole, wished_chart}, std::pair{Detail::shorter, wished_chart},
              std::pair{Detail::shorter, least_chart}})
            for (const double size : {1.0, 0.975, least_size}) {
                squeeze = {size, detail, chart};
                if (fits(squeeze))
                    return squeeze;
            }
        while (squeeze.size > least_size_uncut) {
            squeeze.size = std::max(squeeze.size - 0.025, least_size_uncut);
            if (fits(squeeze))
                return squeeze;
        }
        squeeze.most_paragraphs = most_fitting_paragraphs(squeeze);
        while (!fits(squeeze))
            squeeze.size *= 0.97;
        return squeeze;
    }

    /// The most paragraphs of a text that may be cut with which all fits, or none.
    std::size_t most_fitting_paragraphs(Squeeze squeeze) const {
        std::size_t fitting = 0, too_many = longest_text() + 1;
        while (too_many - fitting > 1) {
            squeeze.most_paragraphs = (fitting + too_many) / 2;
            (fits(squeeze) ? fitting : too_many) = squeeze.most_paragraphs;
        }
        return fitting;
    }

    std::size_t longest_text() const {
        std::size_t most = 0;
        for (const DocumentSection& section : document_.sections)
            for (const DocumentPart& part : section.parts)
                if (const auto* columns = std::get_if<DocumentColumns>(&part))
                    for (const DocumentColumns::Entry& entry : columns->entries)
                        if (!entry.left_out.empty())
                            most = std::max(most, entry.paragraphs.size());
        return most;
    }

    const Document& document_;
    double width_, height_;
};

} // namespace

OnePage one_page(const Document& document, double width, double height) {
    return OnePageLayout(document, width, height).drawn();
}

} // namespace ebbmark
