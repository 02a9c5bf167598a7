// SPDX-License-Identifier: GPL-3.0-or-later
#include "reading.hpp"

namespace ebbmark::samples {

namespace {

struct Words {
    std::string& text;

    void say(const std::string& words) const { text += words + '\n'; }
    void operator()(const DocumentText& part) const { say(part.words); }
    void operator()(const DocumentTable& part) const {
        say(part.caption);
        for (const DocumentRow& row : part.rows) {
            std::string line;
            for (const std::string& cell : row.cells)
                line += (line.empty() ? "" : " | ") + cell;
            say(line);
        }
        say(part.key);
    }
    void operator()(const DocumentChart& part) const {
        say(part.caption);
        say(part.description);
        (*this)(part.table);
    }
    void operator()(const DocumentPhoto& part) const { say(part.caption); }
    void operator()(const DocumentColumns& part) const {
        for (const auto& entry : part.entries) {
            say(entry.heading);
            for (const std::string& words : entry.paragraphs)
                say(words);
        }
    }
    void operator()(const DocumentFacts& part) const {
        for (const auto& [what, value] : part.entries)
            say(what + ": " + value);
    }
};

} // namespace

std::string words_in(const std::vector<DocumentSection>& sections) {
    std::string text;
    for (const DocumentSection& section : sections) {
        text += section.heading + '\n';
        for (const DocumentPart& part : section.parts)
            std::visit(Words{text}, part);
    }
    return text;
}

std::string words_in(const Document& document) {
    return document.title + '\n' + document.subtitle + '\n' + document.author + '\n' + document.mark + '\n' +
           words_in(document.sections) + document.footer + '\n';
}

DocumentTable table_named(const Document& document, const std::string& name) {
    for (const DocumentTable* table : tables_of(document))
        if (table->name == name)
            return *table;
    FAIL("no table " << name);
    return {};
}

DocumentTable table_named(const std::vector<DocumentSection>& sections, const std::string& name) {
    Document document;
    document.sections = sections;
    return table_named(document, name);
}

std::vector<std::string> row_of(const DocumentTable& table, const std::string& first) {
    for (const DocumentRow& row : table.rows)
        if (row.cells.at(0) == first)
            return row.cells;
    FAIL("no row " << first << " in " << table.name);
    return {};
}

DocumentChart chart_named(const std::vector<DocumentSection>& sections, const std::string& name) {
    for (const DocumentSection& section : sections)
        for (const DocumentPart& part : section.parts)
            if (const auto* chart = std::get_if<DocumentChart>(&part); chart && chart->name == name)
                return *chart;
    FAIL("no chart " << name);
    return {};
}

std::string words_on(const Canvas& canvas) {
    std::string text;
    for (const Label& label : shapes_on<Label>(canvas))
        text += label.text + '\n';
    return text;
}

} // namespace ebbmark::samples
