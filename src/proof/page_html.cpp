// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/decay_chart.hpp"
#include "proof/guarded.hpp"
#include "proof/page.hpp"
#include "proof/page_content.hpp"
#include "proof/palette.hpp"
#include "proof/render.hpp"
#include "proof/texts.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string css(const Colour& colour) {
    return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

std::string style_sheet() {
    return fmt::format(":root{{--ink:{};--quiet:{};--rule:{};--grid:{};--shade:{};--alarm:{}}}\n",
                       css(palette::ink), css(palette::quiet), css(palette::rule), css(palette::grid),
                       css(palette::shade), css(palette::alarm)) +
           R"(*{box-sizing:border-box}
body{margin:0 auto;max-width:62rem;padding:1rem;color:var(--ink);background:#fff;
font:1rem/1.45 "DejaVu Sans Condensed",Arial,sans-serif}
h1{font-size:1.5rem;line-height:1.2;margin:0}
h2{font-size:1rem;margin:1.2rem 0 .3rem}
header{border-bottom:2px solid var(--ink);padding-bottom:.5rem}
p{margin:0 0 .5rem}
.quiet,caption span,footer,th span{color:var(--quiet);font-weight:normal}
.finding{font-size:1.25rem;font-weight:bold;line-height:1.3;margin:.8rem 0 .5rem}
.simulated{color:#fff;background:var(--alarm);font-weight:bold;padding:.5rem .7rem;margin:0 0 .8rem}
figure{margin:1rem 0}
figure svg{display:block;width:100%;height:auto}
figure .narrow{display:none}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums;font-size:.9rem}
caption{text-align:left;font-weight:bold;padding-bottom:.3rem}
th,td{padding:.12rem .3rem;text-align:right;vertical-align:top}
thead th{border-bottom:1px solid var(--rule);vertical-align:bottom;overflow-wrap:anywhere}
tbody th{font-weight:normal}
th span{display:block}
td.word,th.word{text-align:left;padding-left:1.2rem}
tr.octave>*{border-top:1px solid var(--grid)}
tr.changed td.word{font-weight:bold}
tr.without>*{color:var(--quiet)}
.columns{columns:2;column-gap:2rem;margin-top:1rem}
.columns section{break-inside:avoid}
.columns section:first-child h2{margin-top:0}
.evidence{font-size:.85rem;list-style:none;padding:0;margin:0}
.evidence li{margin-bottom:.3rem;overflow-wrap:anywhere}
code{font-family:"DejaVu Sans Mono",monospace;font-size:.85em;overflow-wrap:anywhere}
footer{border-top:1px solid var(--rule);margin-top:1rem;padding-top:.4rem;font-size:.85rem}
@media screen and (max-width:640px){
body{padding:.75rem}
figure .wide{display:none}figure .narrow{display:block}
.columns{columns:1}
table,caption,thead,tbody{display:block}
table{font-size:.82rem}
tr{display:grid;grid-template-columns:3.2em 4em 3.9em 4.4em 1fr;border-top:1px solid var(--grid);padding:.2rem 0}
th,td{padding:0 .25rem}
tr.octave>*,thead th{border:0}
thead .more{display:none}
td.word,th.word{padding-left:.8rem}
td.more{text-align:left;grid-row:2;grid-column:1/5;color:var(--quiet);padding-left:1.2em}
td.more~td.more{grid-column:5/6;padding-left:.8rem}
td.word~td.more{grid-row:3;grid-column:1/6;padding-left:1.2em}
td.more::before{content:attr(data-head) " "}
td.more::after{content:" " attr(data-unit)}
td.nothing{display:none}}
@media print{
@page{size:A4;margin:12mm}
body{max-width:none;padding:0;font-size:8pt}
table{font-size:7pt}th,td{padding:0 .3rem}
tr{break-inside:avoid}
.simulated{print-color-adjust:exact}}
)";
}

/// Cells that a narrow screen shows in a second line, with their heading in front.
bool is_further(const PageContent& content, std::size_t column) {
    return column >= 4 && !content.columns[column].left;
}

std::string heading_cell(const PageContent& content, std::size_t column) {
    const PageColumn& head = content.columns[column];
    const char* kind = head.left ? " class=\"word\"" : is_further(content, column) ? " class=\"more\"" : "";
    return fmt::format("<th scope=\"col\"{}>{}<span>{}</span></th>", kind, markup_text(head.head),
                       head.unit.empty() ? "&nbsp;" : markup_text(head.unit));
}

std::string body_cell(const PageContent& content, const PageRow& row, std::size_t column) {
    const std::string words = markup_text(row.cells[column]);
    if (column == 0)
        return fmt::format("<th scope=\"row\">{}</th>", words);
    if (content.columns[column].left)
        return fmt::format("<td class=\"word\">{}</td>", words);
    if (!is_further(content, column))
        return fmt::format("<td>{}</td>", words);
    const bool nothing = row.cells[column] == texts::none;
    return fmt::format("<td class=\"more{}\" data-head=\"{}\" data-unit=\"{}\">{}</td>",
                       nothing ? " nothing" : "", markup_text(content.columns[column].head),
                       markup_text(content.columns[column].unit), words);
}

std::string table_row(const PageContent& content, const PageRow& row) {
    std::string classes = row.changed ? "changed" : row.measured ? "" : "without";
    if (row.opens_octave)
        classes += classes.empty() ? "octave" : " octave";
    std::string html = classes.empty() ? "<tr>" : fmt::format("<tr class=\"{}\">", classes);
    for (std::size_t i = 0; i < row.cells.size(); ++i)
        html += body_cell(content, row, i);
    return html + "</tr>\n";
}

std::string table_html(const PageContent& content) {
    std::string html =
        fmt::format("<table>\n<caption>{}</caption>\n<thead><tr>", markup_text(content.table_caption));
    for (std::size_t i = 0; i < content.columns.size(); ++i)
        html += heading_cell(content, i);
    html += "</tr></thead>\n<tbody>\n";
    for (const PageRow& row : content.rows)
        html += table_row(content, row);
    html += "</tbody>\n</table>\n";
    if (!content.reasons.empty())
        html += fmt::format("<p class=\"quiet\">{}</p>\n", markup_text(content.reasons));
    return html;
}

std::string section_html(const PageSection& section) {
    std::string html = fmt::format("<section><h2>{}</h2>\n", markup_text(section.heading));
    for (const std::string& paragraph : section.paragraphs)
        html += fmt::format("<p>{}</p>\n", markup_text(paragraph));
    return html + "</section>\n";
}

std::string evidence_html(const CompareReport& report) {
    if (report.before_files.empty() && report.after_files.empty())
        return "";
    std::string html =
        fmt::format("<section><h2>{}</h2>\n<ul class=\"evidence\">\n", markup_text(texts::evidence_head));
    const auto add = [&](const std::string& state, const std::vector<EvidenceFile>& files) {
        for (std::size_t i = 0; i < files.size(); ++i)
            html += fmt::format("<li>{} {}: {}<br><code>{}</code></li>\n", markup_text(state), i + 1,
                                markup_text(files[i].name), markup_text(files[i].sha256));
    };
    add(report.before, report.before_files);
    add(report.after, report.after_files);
    return html + "</ul></section>\n";
}

/// The same drawing twice, for wide and for narrow screens; the style sheet shows one of them.
std::string chart_html(const CompareReport& report) {
    const std::string description = chart_description(report);
    return fmt::format("<figure>\n<div class=\"wide\">{}</div>\n<div class=\"narrow\">{}</div>\n</figure>\n",
                       to_svg(comparison_chart(report, {720, 400, 10.5}), description, true),
                       to_svg(comparison_chart(report, {336, 430, 10.5}), description, true));
}

} // namespace

std::string page_html(const CompareReport& report, const PageFacts& facts) {
    const PageContent content = page_content(report, facts);
    std::string html = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n"
        "<style>\n{}</style>\n</head>\n<body>\n",
        markup_text(content.title), style_sheet());
    if (content.simulated)
        html += fmt::format("<p class=\"simulated\">{}</p>\n", markup_text(texts::simulated_line));
    html += fmt::format(
        "<header><h1>{}</h1>\n<p class=\"quiet\">{}</p></header>\n<main>\n<p class=\"finding\">{}</p>\n",
        markup_text(content.title), markup_text(content.subtitle), markup_text(content.headline));
    for (const std::string& sentence : content.remaining)
        html += fmt::format("<p>{}</p>\n", markup_text(sentence));
    html += chart_html(report) + table_html(content) + "<div class=\"columns\">\n";
    for (const PageSection& section : content.sections)
        html += section_html(section);
    if (!content.remarks.empty())
        html += section_html({std::string(texts::remarks_head), content.remarks});
    html += "</div>\n" + evidence_html(report);
    html += fmt::format("</main>\n<footer>{}</footer>\n</body>\n</html>\n", markup_text(content.footer));
    return html;
}

} // namespace ebbmark
