// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/document.hpp"
#include "proof/document/pieces.hpp"
#include "proof/draw/palette.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>

using namespace ebbmark;

namespace {

DocumentTable long_table(std::size_t rows, const std::string& words) {
    DocumentTable table{"long", "T", {{"band", "Hz"}, {"words", "", true}}, {}, "key"};
    for (std::size_t i = 0; i < rows; ++i)
        table.rows.push_back({{std::to_string(i), words}});
    return table;
}

Document document_with(const DocumentTable& table) {
    Document document;
    document.title = "Title";
    document.footer = "footer";
    document.sections = {{"Heading", {table}, false}};
    return document;
}

/// As a reader outside the program counts them; 0 where it is not installed.
std::size_t pages_of(const std::string& pdf) {
    const auto path = std::filesystem::temp_directory_path() /
                      ("ebbmark-document-" + std::to_string(std::hash<std::string>{}(pdf)) + ".pdf");
    std::ofstream(path, std::ios::binary) << pdf;
    FILE* pipe = popen(("pdfinfo '" + path.string() + "' 2>/dev/null").c_str(), "r");
    REQUIRE(pipe);
    std::size_t pages = 0;
    for (char line[256]; fgets(line, sizeof line, pipe);)
        if (std::string(line).starts_with("Pages:"))
            pages = std::stoul(std::string(line).substr(6));
    pclose(pipe);
    std::filesystem::remove(path);
    return pages;
}

/// WCAG 2.1, relative luminance.
double luminance(const Colour& colour) {
    const auto part = [](double value) {
        value /= 255;
        return value <= 0.03928 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * part(colour.red) + 0.7152 * part(colour.green) + 0.0722 * part(colour.blue);
}

} // namespace

TEST_CASE("a table goes on over pages with its head") {
    std::vector<Piece> pieces;
    add_pieces(pieces, long_table(200, std::string(300, 'w')), 500);
    REQUIRE(pieces.size() == 202);
    CHECK(pieces[0].sticks);
    CHECK(pieces[1].sticks); // two rows stay with the head
    CHECK(!pieces[2].sticks);
    CHECK(pieces[100].head);
    CHECK(pieces[199].sticks); // no last row alone
    const std::string one = document_pdf(document_with(long_table(3, "w")), Paper::a4);
    const std::string many = document_pdf(document_with(long_table(200, std::string(300, 'w'))), Paper::a4);
    if (pages_of(one) == 0) {
        MESSAGE("pdfinfo is not installed: skipped");
        return;
    }
    CHECK(pages_of(one) == 1);
    CHECK(pages_of(many) > 4);
}

TEST_CASE("no piece is wider than the page, whatever its words") {
    for (const std::string& words : {std::string(500, 'W'), std::string("short"),
                                     std::string("a b c d e f g h ") + std::string(120, 'x')}) {
        DocumentTable table = long_table(3, words);
        table.columns.push_back({"third", "", true});
        for (DocumentRow& row : table.rows)
            row.cells.push_back(words);
        std::vector<Piece> pieces;
        add_pieces(pieces, table, 500);
        for (const Piece& piece : pieces)
            for (const Shape& shape : piece.canvas.shapes())
                if (const auto* label = std::get_if<Label>(&shape))
                    CHECK(label->at.x <= 500);
    }
}

TEST_CASE("a long narrow table stands in two halves") {
    std::vector<Piece> pieces;
    add_pieces(pieces, long_table(20, "w"), 500);
    CHECK(pieces.size() == 12); // head, ten double rows, key
}

TEST_CASE("the HTML page escapes what it is given") {
    DocumentTable table = long_table(1, "<b>&\"'");
    const std::string html = document_html(document_with(table));
    CHECK(html.find("<b>") == html.npos);
    CHECK(html.find("&lt;b&gt;&amp;") != html.npos);
}

TEST_CASE("files of a document: each table as CSV with units in its head") {
    const auto files = document_files(document_with(long_table(1, "one, two")));
    REQUIRE(files.size() == 1);
    CHECK(files[0].first == "long.csv");
    CHECK(files[0].second == "band [Hz],words\n0,\"one, two\"\n");
}

TEST_CASE("every colour of text has a contrast of 4.5 on white, and white on the alarm's") {
    // Source: published. WCAG 2.1, 1.4.3 and the definition of contrast ratio.
    for (const Colour& colour :
         {palette::ink, palette::quiet, palette::before, palette::after, palette::third, palette::alarm})
        CHECK(1.05 / (luminance(colour) + 0.05) >= 4.5);
}

TEST_CASE("a document is cut into pieces in its order, a section's page break before its heading") {
    Document document = document_with(long_table(2, "words"));
    document.sections.push_back({"Next", {DocumentText{TextKind::body, "a paragraph"}}, true});
    const auto pieces = pieces_of(document, {400, 600});
    std::vector<std::string> outline;
    for (const Piece& piece : pieces)
        if (!piece.outline.empty())
            outline.push_back(piece.outline);
    CHECK(outline.size() >= 2);
    CHECK(outline.back() == "Next");
    const auto next = std::find_if(pieces.begin(), pieces.end(),
                                   [](const Piece& piece) { return piece.outline == "Next"; });
    CHECK(next->opens_page);
    CHECK(next->sticks); // to its paragraph
    CHECK(samples::has(samples::words_on(std::next(next)->canvas), "a paragraph"));
    std::vector<std::string> names;
    for (const DocumentTable* table : tables_of(document))
        names.push_back(table->name);
    CHECK(names == std::vector<std::string>{"long"});
}

TEST_CASE("a marked paragraph is one element of the text's structure") {
    Canvas canvas(200, 100);
    const double height = marked_paragraph(canvas, "H1", {0, 0}, 200, "a heading", {10, palette::ink});
    CHECK(height > 10);
    const auto marks = samples::shapes_on<Mark>(canvas);
    REQUIRE(marks.size() == 2);
    CHECK(marks[0].role == "H1");
    CHECK(marks[0].begins);
    CHECK(!marks[1].begins);
    CHECK(samples::words_on(canvas) == "a heading\n");
}

TEST_CASE("a watermark crosses the middle of the page and is pale") {
    Canvas page(595, 842);
    draw_watermark(page);
    const auto labels = samples::shapes_on<Label>(page);
    REQUIRE(labels.size() == 1);
    CHECK(labels[0].text == "SIMULATED");
    CHECK(labels[0].style.colour.opacity < 0.2);
    CHECK(labels[0].style.turn_degrees < -45);
    CHECK(std::abs(labels[0].at.x - 297.5) < 104);
    CHECK(std::abs(labels[0].at.y - 421) < 104);
}
