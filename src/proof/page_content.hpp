// SPDX-License-Identifier: GPL-3.0-or-later
// What stands on the page, before it is laid out: the PDF and the HTML page say the same in the same words.
#pragma once

#include "proof/compare_report.hpp"
#include "proof/page.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct PageColumn {
    std::string head, unit;
    bool left = false; ///< words
};

struct PageRow {
    std::vector<std::string> cells; ///< one per column
    bool changed = false;           ///< shorter or longer
    bool measured = true;
    bool opens_octave = false; ///< a rule above helps the eye
};

struct PageSection {
    std::string heading;
    std::vector<std::string> paragraphs;
};

struct PageContent {
    std::string title, subtitle;
    bool simulated = false;
    std::string headline;
    std::vector<std::string> remaining; ///< findings that the headline leaves out
    std::string table_caption;
    std::vector<PageColumn> columns;
    std::vector<PageRow> rows;
    std::string reasons; ///< codes in the table
    std::vector<PageSection> sections;
    std::vector<std::string> remarks; ///< notes on bands and on the whole
    std::string footer;
};

PageContent page_content(const CompareReport& report, const PageFacts& facts);

} // namespace ebbmark
