// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/document.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/guarded.hpp"

namespace ebbmark {

namespace {

std::string csv_of(const DocumentTable& table) {
    std::string csv;
    for (const DocumentColumn& column : table.columns)
        csv += (&column == &table.columns.front() ? "" : ",") +
               csv_text(column.unit.empty() ? column.head : column.head + " [" + column.unit + "]");
    csv += '\n';
    for (const DocumentRow& row : table.rows) {
        for (std::size_t i = 0; i < row.cells.size(); ++i)
            csv += (i == 0 ? "" : ",") + csv_text(row.cells[i]);
        csv += '\n';
    }
    return csv;
}

/// The chart as a picture of its own, with some white around it.
Canvas picture_of(const DocumentChart& chart) {
    constexpr double width = 560, margin = 14;
    const Canvas drawn = chart.draw({width, width * chart.height, 9});
    Canvas picture(drawn.width() + 2 * margin, drawn.height() + 2 * margin);
    picture.box({0, 0}, picture.width(), picture.height(), palette::paper);
    picture.place(drawn, {margin, margin});
    return picture;
}

} // namespace

std::vector<const DocumentTable*> tables_of(const Document& document) {
    std::vector<const DocumentTable*> tables;
    for (const DocumentSection& section : document.sections)
        for (const DocumentPart& part : section.parts) {
            if (const auto* table = std::get_if<DocumentTable>(&part))
                tables.push_back(table);
            if (const auto* chart = std::get_if<DocumentChart>(&part); chart && !chart->table.columns.empty())
                tables.push_back(&chart->table);
        }
    return tables;
}

std::vector<DataFile> document_files(const Document& document) {
    std::vector<DataFile> files;
    for (const DocumentTable* table : tables_of(document))
        files.emplace_back(table->name + ".csv", csv_of(*table));
    for (const DocumentSection& section : document.sections)
        for (const DocumentPart& part : section.parts) {
            if (const auto* photo = std::get_if<DocumentPhoto>(&part))
                files.emplace_back(photo->name + ".jpg", photo->photo.jpeg);
            const auto* chart = std::get_if<DocumentChart>(&part);
            if (!chart)
                continue;
            const Canvas picture = picture_of(*chart);
            files.emplace_back(chart->name + ".svg", to_svg(picture, chart->description));
            files.emplace_back(chart->name + ".png", to_png(picture));
        }
    return files;
}

} // namespace ebbmark
