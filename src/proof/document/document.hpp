// SPDX-License-Identifier: GPL-3.0-or-later
// A document of several pages as a value: what stands in it, before anybody lays it out. The PDF, the HTML
// page and the data files are made from the same one. Texts may hold anything; writers guard them.
#pragma once

#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"

#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace ebbmark {

enum class TextKind {
    body,
    finding, ///< the one sentence that the reader came for
    quiet,   ///< keys and sources
    caution,
    digest ///< digits to be compared letter by letter
};

struct DocumentText {
    TextKind kind = TextKind::body;
    std::string words;
};

struct DocumentColumn {
    std::string head, unit;
    bool words = false;       ///< left-aligned, may be broken into lines
    bool fixed_pitch = false; ///< digits to be compared letter by letter
};

struct DocumentRow {
    std::vector<std::string> cells; ///< one per column
    bool strong = false;            ///< something was found
    bool quiet = false;             ///< nothing could be measured
    bool opens_group = false;       ///< a rule above helps the eye
};

struct DocumentTable {
    std::string name; ///< of its data file: "bands"
    std::string caption;
    std::vector<DocumentColumn> columns;
    std::vector<DocumentRow> rows;
    std::string key; ///< what abbreviations mean; may be empty
    /// Stands in its place where one page is to hold everything and has no room for it; may be none.
    std::shared_ptr<const DocumentTable> shorter = {};
};

struct DocumentChart {
    std::string name; ///< of its picture files: "decay"
    std::string caption;
    std::string description; ///< for readers who can't see it
    std::function<Canvas(const ChartSize&)> draw;
    double height = 0.5;      ///< over its width, on paper and wide screens
    double narrow_height = 1; ///< the same on narrow screens
    DocumentTable table;      ///< the figures drawn; without columns: they stand in a table of the document
};

struct DocumentPhoto {
    std::string name;
    std::string caption;
    PhotoPixels photo;
};

/// Short texts in two columns beside each other.
struct DocumentColumns {
    struct Entry {
        std::string heading;
        std::vector<std::string> paragraphs;
        /// Where one page is to hold everything, the last paragraphs may be left out, and this says how many
        /// ("{} more"); empty: none may.
        std::string left_out = {};
    };
    std::vector<Entry> entries;
};

/// Names and values, such as client and room.
struct DocumentFacts {
    std::vector<std::pair<std::string, std::string>> entries;
};

using DocumentPart =
    std::variant<DocumentText, DocumentTable, DocumentChart, DocumentPhoto, DocumentColumns, DocumentFacts>;

struct DocumentSection {
    std::string heading; ///< empty: goes on from the one before
    std::vector<DocumentPart> parts;
    bool opens_page = false;
};

struct Document {
    std::string title, subtitle;
    std::string author;
    std::string date; ///< ISO 8601, of the newest thing in it
    bool simulated = false;
    std::string mark; ///< over every page, such as that of a redacted copy; may be empty
    std::vector<DocumentSection> sections;
    std::string footer; ///< digest and version
};

enum class Paper { a4, letter };

enum class Pages {
    as_needed, ///< tables go on over pages with their heads repeated
    one        ///< everything shrinks until one page holds it: one_page.hpp says what gives way
};

/// Vector charts, embedded fonts, outline and tagged text. Same document, same bytes.
std::string document_pdf(const Document& document, Paper paper, Pages pages = Pages::as_needed);

/// One self-contained file for screens from 360 pixels wide and for printing; it loads nothing.
std::string document_html(const Document& document);

/// A data file beside the document: name and bytes.
using DataFile = std::pair<std::string, std::string>;

/// Every table as CSV, every chart as SVG and PNG, every photo.
std::vector<DataFile> document_files(const Document& document);

/// Every table in the document, those behind its charts too.
std::vector<const DocumentTable*> tables_of(const Document& document);

} // namespace ebbmark
