// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/document.hpp"
#include "proof/draw/base64.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/chart_texts.hpp"
#include "proof/text/guarded.hpp"

#include <fmt/format.h>

#include <algorithm>

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
font:1rem/1.45 "DejaVu Sans Condensed",Arial,sans-serif;overflow-wrap:break-word}
h1{font-size:1.5rem;line-height:1.2;margin:0}
h2{font-size:1.15rem;margin:2rem 0 .3rem}
h3{font-size:1rem;margin:0 0 .3rem}
header{border-bottom:2px solid var(--ink);padding-bottom:.5rem}
p{margin:0 0 .5rem}
.quiet,footer,th span,dt{color:var(--quiet);font-weight:normal}
.quiet{font-size:.88rem}
.finding{font-size:1.25rem;font-weight:bold;line-height:1.3;margin:.8rem 0 .5rem}
.mark{color:#fff;background:var(--alarm);font-weight:bold;padding:.5rem .7rem;margin:0 0 .8rem}
.caution{color:var(--alarm)}
.digest{font:bold 1.1rem/1.5 "DejaVu Sans Mono",monospace}
dl{display:grid;grid-template-columns:repeat(auto-fill,minmax(13rem,1fr));gap:.5rem 1.5rem;margin:.7rem 0}
dt{font-size:.85rem}dd{margin:0}
figure{margin:1rem 0}
figure svg,figure img{display:block;max-width:100%;height:auto}
figure svg{width:100%}
figcaption{margin-bottom:.4rem}
figure .narrow{display:none}
table{border-collapse:collapse;font-variant-numeric:tabular-nums;font-size:.88rem;margin:1rem 0 .4rem}
caption{text-align:left;font-weight:bold;padding-bottom:.3rem}
th,td{padding:.12rem .45rem;text-align:right;vertical-align:top}
thead th{border-bottom:1px solid var(--rule);vertical-align:bottom}
tbody th{font-weight:normal}
th span{display:block}
.word{text-align:left}
.hash{font-family:"DejaVu Sans Mono",monospace;font-size:.8em;text-align:left;overflow-wrap:anywhere}
tr.group>*{border-top:1px solid var(--grid)}
tr.strong td.word{font-weight:bold}
tr.without>*{color:var(--quiet)}
summary{cursor:pointer;color:var(--quiet)}
dd,p,h1,h2,figcaption,.many td,.many th{overflow-wrap:anywhere}
.columns{display:grid;grid-template-columns:1fr 1fr;gap:1rem 2rem;margin:1rem 0}
footer{border-top:1px solid var(--rule);margin-top:1.5rem;padding-top:.4rem;font-size:.85rem;overflow-wrap:anywhere}
@media screen and (max-width:640px){
body{padding:.75rem}
figure .wide{display:none}figure .narrow{display:block}
.columns{grid-template-columns:1fr}
.many,.many caption,.many tbody,.many tbody th{display:block}
.many thead{display:none}
.many tr{display:flex;flex-wrap:wrap;gap:0 .9rem;border-top:1px solid var(--grid);padding:.25rem 0}
.many th,.many td{padding:0;text-align:left;max-width:100%}
.many tbody th{width:100%;font-weight:bold}
.many td::before{content:attr(data-head) " ";color:var(--quiet);font-weight:normal;font-size:.92em}
.many td::after{content:" " attr(data-unit);color:var(--quiet);font-weight:normal}
.many tbody th[data-unit]::after{content:" " attr(data-unit)}
.many tr.group>*{border-top:0}
.many td.nothing{display:none}}
@media print{
@page{margin:12mm}
body{max-width:none;padding:0;font-size:8pt}
table{font-size:7pt}
tr,figure,.columns section{break-inside:avoid}
h2,caption{break-after:avoid}
details:not([open]){display:none}
.mark{print-color-adjust:exact}}
)";
}

std::string class_of(const DocumentColumn& column) {
    return column.fixed_pitch ? " class=\"hash\"" : column.words ? " class=\"word\"" : "";
}

std::string cell_html(const DocumentColumn& column, const std::string& cell, bool many) {
    if (!many)
        return fmt::format("<td{}>{}</td>", class_of(column), markup_text(cell));
    std::string classes = column.fixed_pitch ? "hash" : column.words ? "word" : "";
    if (cell == texts::none || cell.empty())
        classes += classes.empty() ? "nothing" : " nothing";
    const std::string attribute = classes.empty() ? "" : fmt::format(" class=\"{}\"", classes);
    return fmt::format("<td{} data-head=\"{}\" data-unit=\"{}\">{}</td>", attribute, markup_text(column.head),
                       markup_text(column.unit), markup_text(cell));
}

std::string first_cell_html(const DocumentColumn& column, const std::string& cell) {
    const std::string unit =
        column.unit.empty() ? "" : fmt::format(" data-unit=\"{}\"", markup_text(column.unit));
    return fmt::format("<th scope=\"row\"{}{}>{}</th>", class_of(column), unit, markup_text(cell));
}

std::string row_html(const DocumentTable& table, const DocumentRow& row, bool many) {
    std::string classes = row.strong ? "strong" : row.quiet ? "without" : "";
    if (row.opens_group)
        classes += classes.empty() ? "group" : " group";
    std::string html = classes.empty() ? "<tr>" : fmt::format("<tr class=\"{}\">", classes);
    for (std::size_t i = 0; i < row.cells.size(); ++i)
        html += i == 0 ? first_cell_html(table.columns[0], row.cells[0])
                       : cell_html(table.columns[i], row.cells[i], many);
    return html + "</tr>\n";
}

/// With more columns than this a phone shows each row as a block.
constexpr std::size_t few_columns = 3;

std::string table_html(const DocumentTable& table) {
    const bool many = table.columns.size() > few_columns;
    std::string html = many ? "<table class=\"many\">\n" : "<table>\n";
    if (!table.caption.empty())
        html += fmt::format("<caption>{}</caption>\n", markup_text(table.caption));
    html += "<thead><tr>";
    for (const DocumentColumn& column : table.columns)
        html +=
            fmt::format("<th scope=\"col\"{}>{}{}</th>", class_of(column), markup_text(column.head),
                        column.unit.empty() ? "" : fmt::format("<span>{}</span>", markup_text(column.unit)));
    html += "</tr></thead>\n<tbody>\n";
    for (const DocumentRow& row : table.rows)
        html += row_html(table, row, many);
    html += "</tbody>\n</table>\n";
    return table.key.empty() ? html
                             : html + fmt::format("<p class=\"quiet\">{}</p>\n", markup_text(table.key));
}

struct PartWriter {
    std::string operator()(const DocumentText& text) const {
        static constexpr const char* classes[] = {"", " class=\"finding\"", " class=\"quiet\"",
                                                  " class=\"caution\"", " class=\"digest\""};
        return fmt::format("<p{}>{}</p>\n", classes[static_cast<int>(text.kind)], markup_text(text.words));
    }
    std::string operator()(const DocumentTable& table) const { return table_html(table); }
    std::string operator()(const DocumentChart& chart) const {
        const auto drawn = [&](double width, double height) {
            return to_svg(chart.draw({width, height, 10.5}), chart.description, true);
        };
        std::string html = "<figure>\n";
        if (!chart.caption.empty())
            html += fmt::format("<figcaption>{}</figcaption>\n", markup_text(chart.caption));
        html += fmt::format("<div class=\"wide\">{}</div>\n<div class=\"narrow\">{}</div>\n",
                            drawn(760, 760 * chart.height), drawn(336, 336 * chart.narrow_height));
        if (!chart.table.columns.empty())
            html += fmt::format("<details><summary>{}</summary>\n{}</details>\n",
                                markup_text(texts::chart_figures), table_html(chart.table));
        return html + "</figure>\n";
    }
    std::string operator()(const DocumentPhoto& photo) const {
        return fmt::format("<figure><img alt=\"{0}\" width=\"{1}\" height=\"{2}\" "
                           "src=\"data:image/jpeg;base64,{3}\">\n<figcaption>{0}</figcaption></figure>\n",
                           markup_text(photo.caption), photo.photo.width, photo.photo.height,
                           base64(photo.photo.jpeg));
    }
    std::string operator()(const DocumentColumns& columns) const {
        std::string html = "<div class=\"columns\">\n";
        for (const auto& entry : columns.entries) {
            html += fmt::format("<section><h3>{}</h3>\n", markup_text(entry.heading));
            for (const std::string& words : entry.paragraphs)
                html += fmt::format("<p>{}</p>\n", markup_text(words));
            html += "</section>\n";
        }
        return html + "</div>\n";
    }
    std::string operator()(const DocumentFacts& facts) const {
        std::string html = "<dl>\n";
        for (const auto& [what, value] : facts.entries)
            html += fmt::format("<div><dt>{}</dt><dd>{}</dd></div>\n", markup_text(what), markup_text(value));
        return html + "</dl>\n";
    }
};

std::string section_html(const DocumentSection& section) {
    std::string html;
    if (!section.heading.empty())
        html += fmt::format("<h2>{}</h2>\n", markup_text(section.heading));
    for (const DocumentPart& part : section.parts)
        html += std::visit(PartWriter{}, part);
    return html;
}

} // namespace

std::string document_html(const Document& document) {
    std::string html = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n"
        "<style>\n{}</style>\n</head>\n<body>\n",
        markup_text(document.title), style_sheet());
    for (const std::string& mark :
         {document.simulated ? std::string(texts::simulated_line) : std::string(), document.mark})
        if (!mark.empty())
            html += fmt::format("<p class=\"mark\">{}</p>\n", markup_text(mark));
    html += fmt::format("<header><h1>{}</h1>\n<p class=\"quiet\">{}</p></header>\n<main>\n",
                        markup_text(document.title), markup_text(document.subtitle));
    for (const DocumentSection& section : document.sections)
        html += section_html(section);
    return html +
           fmt::format("</main>\n<footer>{}</footer>\n</body>\n</html>\n", markup_text(document.footer));
}

} // namespace ebbmark
