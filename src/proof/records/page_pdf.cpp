// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/decay_chart.hpp"
#include "proof/document/page_marks.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/records/page.hpp"
#include "proof/records/page_content.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/page_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace ebbmark {

namespace {

// ISO 216 A4 in points.
constexpr double page_width = 210 / 25.4 * 72, page_height = 297 / 25.4 * 72;
constexpr double margin_x = 42, margin_top = 34, margin_bottom = 26;
constexpr double body_width = page_width - 2 * margin_x;
constexpr double column_gap = 16, least_column = 165;
constexpr double wished_chart = 225, least_chart = 180, most_chart = 340;
constexpr double below_chart = 14;

/// Sizes that shrink together until everything fits.
struct Scale {
    double factor = 1;

    TextStyle body() const { return {7.4 * factor, palette::ink}; }
    TextStyle heading() const { return {7.8 * factor, palette::ink, true}; }
    TextStyle table() const { return {7.2 * factor, palette::ink}; }
    TextStyle fine() const { return {6.6 * factor, palette::quiet}; }
    double row_height() const { return 9.6 * factor; }
};

/// A part of the page drawn on its own, so that its height is known before its place.
struct Block {
    Canvas canvas{0, 0};
    double width = 0;
    double height = 0;
};

/// `text` with its middle left out until it is no wider than `width`.
std::string fitted(const std::string& text, const TextStyle& style, double width) {
    std::size_t most = columns(text);
    std::string result = text;
    while (most > 5 && text_width(result, style) > width)
        result = shortened(text, --most);
    return result;
}

std::vector<double> column_widths(const PageContent& content, const Scale& scale) {
    const TextStyle style = scale.table();
    TextStyle head = style;
    head.bold = true;
    std::vector<double> widths;
    for (std::size_t i = 0; i < content.bands.columns.size(); ++i) {
        double width = std::max(text_width(content.bands.columns[i].head, head),
                                text_width(content.bands.columns[i].unit, style));
        for (const DocumentRow& row : content.bands.rows) {
            TextStyle shown = style;
            shown.bold = row.strong && content.bands.columns[i].words;
            width = std::max(width, text_width(row.cells[i], shown));
        }
        widths.push_back(width);
    }
    return widths;
}

/// Draws one line of the table; `pick` gives the text of a column.
template <typename Pick>
void draw_row(Canvas& canvas, const PageContent& content, const std::vector<double>& widths, double gap,
              double baseline, const Pick& pick) {
    double x = 0;
    for (std::size_t i = 0; i < widths.size(); ++i) {
        auto [words, style] = pick(i);
        style.anchor = content.bands.columns[i].words ? Anchor::start : Anchor::end;
        canvas.text({content.bands.columns[i].words ? x : x + widths[i], baseline}, words, style);
        x += widths[i] + gap;
    }
}

struct Styled {
    std::string words;
    TextStyle style;
};

Block table_block(const PageContent& content, const Scale& scale) {
    Block block;
    const TextStyle style = scale.table();
    const auto widths = column_widths(content, scale);
    const double gap = 1.15 * style.size, row = scale.row_height();
    block.width =
        std::accumulate(widths.begin(), widths.end(), 0.0) + gap * static_cast<double>(widths.size() - 1);
    Canvas& canvas = block.canvas;
    double y = canvas.paragraph({0, 0}, block.width, content.bands.caption, scale.heading()) + 0.2 * row;
    TextStyle head = style, unit = style;
    head.bold = true;
    unit.colour = palette::quiet;
    draw_row(canvas, content, widths, gap, y + 0.75 * row, [&](std::size_t i) {
        return Styled{content.bands.columns[i].head, head};
    });
    draw_row(canvas, content, widths, gap, y + 1.7 * row, [&](std::size_t i) {
        return Styled{content.bands.columns[i].unit, unit};
    });
    y += 2.05 * row;
    canvas.line({0, y}, {block.width, y}, {palette::rule, 0.8, {}});
    for (const DocumentRow& line : content.bands.rows) {
        if (line.opens_group && &line != &content.bands.rows.front())
            canvas.line({0, y}, {block.width, y}, {palette::grid, 0.5, {}});
        draw_row(canvas, content, widths, gap, y + 0.77 * row, [&](std::size_t i) {
            TextStyle cell_style = style;
            cell_style.colour = line.quiet ? palette::quiet : palette::ink;
            cell_style.bold = line.strong && content.bands.columns[i].words;
            return Styled{line.cells[i], cell_style};
        });
        y += row;
    }
    canvas.line({0, y}, {block.width, y}, {palette::rule, 0.8, {}});
    y += 0.3 * row;
    if (!content.bands.key.empty())
        y += canvas.paragraph({0, y}, block.width, content.bands.key, scale.fine());
    block.height = y;
    return block;
}

void draw_section(Block& block, const PageSection& section, const Scale& scale) {
    const double gap = 0.22 * scale.body().size;
    double y = block.height;
    y += block.canvas.paragraph({0, y}, block.width, section.heading, scale.heading());
    for (const std::string& paragraph : section.paragraphs)
        y += block.canvas.paragraph({0, y}, block.width, paragraph, scale.body()) + gap;
    block.height = y + 0.55 * scale.body().size;
}

/// As many remarks as find room in `height`, and how many did not.
PageSection fitting_remarks(const std::vector<std::string>& remarks, double width, double height,
                            const Scale& scale) {
    PageSection section{std::string(texts::remarks_head), {}};
    double used = 3 * line_height(scale.body());
    for (const std::string& remark : remarks) {
        used += paragraph_height(width, remark, scale.body()) + 0.22 * scale.body().size;
        if (used > height)
            break;
        section.paragraphs.push_back(remark);
    }
    const std::size_t left_out = remarks.size() - section.paragraphs.size();
    if (left_out > 0)
        section.paragraphs.push_back(fmt::format(fmt::runtime(texts::remarks_left_out), left_out));
    return section;
}

/// What stands under the chart: the table at the left, words at the right and where there is room.
struct Middle {
    Block left, right, evidence;
    bool whole = true; ///< no remark left out
    double height() const { return std::max(left.height, right.height); }
};

/// The sections dealt out between the columns so that the longer one is as short as can be; the first, the
/// meaning, always stands beside the table. Remarks come last, where more room is left.
void deal_sections(Middle& middle, const PageContent& content, double room, const Scale& scale) {
    middle.right.width = body_width - middle.left.width - column_gap;
    Middle best;
    for (unsigned deal = 0; deal < 1u << content.sections.size(); deal += 2) {
        Middle tried = middle;
        for (std::size_t i = 0; i < content.sections.size(); ++i)
            draw_section((deal >> i) & 1u ? tried.left : tried.right, content.sections[i], scale);
        if (deal == 0 || tried.height() < best.height())
            best = tried;
    }
    middle = best;
    if (content.remarks.empty())
        return;
    Block& block = middle.right.height <= middle.left.height ? middle.right : middle.left;
    const PageSection remarks = fitting_remarks(content.remarks, block.width, room - block.height, scale);
    middle.whole = remarks.paragraphs == content.remarks;
    draw_section(block, remarks, scale);
}

// With more files than these per state, digests are cut to their first digits, then files only counted.
constexpr std::size_t whole_digests = 3, listed_files = 10, cut_digest = 32;

Block evidence_block(const CompareReport& report, const Scale& scale) {
    Block block;
    block.width = body_width;
    const std::size_t most = std::max(report.before_files.size(), report.after_files.size());
    if (most == 0)
        return block;
    const bool whole = most <= whole_digests;
    const double half = (body_width - column_gap) / 2;
    Canvas& canvas = block.canvas;
    TextStyle fixed = scale.fine();
    fixed.fixed_pitch = true;
    fixed.size *= whole ? 0.82 : 0.9;
    double y = canvas.paragraph({0, 0}, body_width,
                                std::string(whole ? texts::evidence_head : texts::evidence_head_cut),
                                scale.heading());
    block.height = y;
    const auto draw_files = [&](double x, const std::string& state, const std::vector<EvidenceFile>& files) {
        double at = y;
        const double size = scale.fine().size, step = line_height(scale.fine());
        const auto write = [&](double from, const std::string& words, const TextStyle& style) {
            canvas.text({from, at + size}, words, style);
        };
        write(x, state, {size, palette::ink, true});
        at += step;
        const std::size_t listed = files.size() > listed_files ? listed_files - 1 : files.size();
        std::vector<std::string> names, digests;
        double widest_name = 0;
        for (std::size_t i = 0; i < listed; ++i) {
            digests.push_back(whole ? files[i].sha256 : files[i].sha256.substr(0, cut_digest));
            const double room = whole ? half : half - text_width(digests.back(), fixed) - size;
            names.push_back(
                fitted(fmt::format("{}  {}", i + 1, plain_text(files[i].name)), scale.fine(), room));
            widest_name = std::max(widest_name, text_width(names.back(), scale.fine()));
        }
        for (std::size_t i = 0; i < listed; ++i) {
            write(x, names[i], scale.fine());
            if (whole)
                at += step;
            write(whole ? x : x + widest_name + size, digests[i], fixed);
            at += step;
        }
        if (listed < files.size()) {
            write(x, fmt::format(fmt::runtime(texts::evidence_left_out), files.size() - listed),
                  scale.fine());
            at += step;
        }
        block.height = std::max(block.height, at);
    };
    draw_files(0, shortened(plain_text(report.before), 30), report.before_files);
    draw_files(half + column_gap, shortened(plain_text(report.after), 30), report.after_files);
    return block;
}

/// Title, finding; returns where the chart may begin.
double draw_top(Canvas& page, const PageContent& content) {
    double y = margin_top;
    page.text({margin_x, y + 15}, content.title, {17, palette::ink, true});
    if (content.simulated)
        page.text({page_width - margin_x, y + 15}, std::string(texts::simulated_mark),
                  {13, palette::alarm, true, false, Anchor::end});
    page.text({margin_x, y + 28}, content.subtitle, {8.2, palette::quiet});
    y += 35;
    page.line({margin_x, y}, {page_width - margin_x, y}, {palette::ink, 1.2, {}});
    y += 8;
    y += page.paragraph({margin_x, y}, body_width, content.headline, {12, palette::ink, true}) + 2;
    std::string rest;
    for (const std::string& sentence : content.remaining)
        rest += (rest.empty() ? "" : " ") + sentence;
    y += page.paragraph({margin_x, y}, body_width, rest, {8.2, palette::ink});
    return y + 9;
}

Middle middle_at(double factor, double room, const CompareReport& report, const PageContent& content) {
    const Scale scale{factor};
    Middle middle{table_block(content, scale), {}, evidence_block(report, scale)};
    middle.left.height += 0.8 * scale.body().size;
    deal_sections(middle, content, room - middle.evidence.height, scale);
    return middle;
}

/// The blocks at the largest scale at which all of it fits beside a chart of good height, then of small
/// height; where nothing fits, at the smallest scale and without the last remarks.
Middle fitted_middle(const CompareReport& report, const PageContent& content, double room) {
    for (const double chart : {wished_chart, least_chart})
        for (const double factor : {1.12, 1.06, 1.0, 0.96, 0.92, 0.88, 0.84}) {
            const double left = room - chart - below_chart;
            const Middle middle = middle_at(factor, left, report, content);
            if (middle.height() <= left - middle.evidence.height && middle.right.width >= least_column &&
                middle.whole)
                return middle;
        }
    return middle_at(0.8, room - least_chart - below_chart, report, content);
}

} // namespace

std::string page_pdf(const CompareReport& report, const PageFacts& facts) {
    const PageContent content = page_content(report, facts);
    Canvas page(page_width, page_height);
    if (content.simulated)
        draw_watermark(page);
    double y = draw_top(page, content);
    const double foot = page_height - margin_bottom;
    const double room = foot - 14 - y;
    const Middle middle = fitted_middle(report, content, room);
    const double chart_height =
        std::min(room - middle.evidence.height - middle.height() - below_chart, most_chart);
    page.place(comparison_chart(report, {body_width, chart_height, 7.4}), {margin_x, y});
    y += chart_height + 8;
    page.place(middle.left.canvas, {margin_x, y});
    page.place(middle.right.canvas, {margin_x + middle.left.width + column_gap, y});
    page.place(middle.evidence.canvas, {margin_x, foot - 12 - middle.evidence.height});
    page.line({margin_x, foot - 7}, {page_width - margin_x, foot - 7}, {palette::rule, 0.6, {}});
    page.text({margin_x, foot + 3}, content.footer, {7, palette::quiet});
    page.text({page_width - margin_x, foot + 3}, fmt::format(fmt::runtime(texts::page_of), 1, 1),
              {7, palette::quiet, false, false, Anchor::end});
    return to_pdf({page}, {content.title, facts.date, "", "", {}});
}

} // namespace ebbmark
