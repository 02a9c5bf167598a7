// SPDX-License-Identifier: GPL-3.0-or-later
// Finds what a document or drawing says, for tests.
#pragma once

#include "proof/document/document.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace ebbmark::samples {

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Everything in words in some sections, a line each: headings, paragraphs, facts, captions, cells with a
/// bar between.
std::string words_in(const std::vector<DocumentSection>& sections);
std::string words_in(const Document& document);

/// The table of this name, those behind charts too; fails the test where there is none.
DocumentTable table_named(const Document& document, const std::string& name);
DocumentTable table_named(const std::vector<DocumentSection>& sections, const std::string& name);

/// The row that begins with this cell; fails the test where there is none.
std::vector<std::string> row_of(const DocumentTable& table, const std::string& first);

/// The chart of this name; fails the test where there is none.
DocumentChart chart_named(const std::vector<DocumentSection>& sections, const std::string& name);

/// The words on a canvas, a line each.
std::string words_on(const Canvas& canvas);

/// The shapes of one kind on a canvas.
template <class Kind>
std::vector<Kind> shapes_on(const Canvas& canvas) {
    std::vector<Kind> found;
    for (const Shape& shape : canvas.shapes())
        if (const auto* one = std::get_if<Kind>(&shape))
            found.push_back(*one);
    return found;
}

} // namespace ebbmark::samples

/// So that a failing comparison of rows shows both.
template <>
struct doctest::StringMaker<std::vector<std::string>> {
    static String convert(const std::vector<std::string>& cells) {
        std::string line;
        for (const std::string& cell : cells)
            line += (line.empty() ? "" : " | ") + cell;
        return line.c_str();
    }
};
