// SPDX-License-Identifier: GPL-3.0-or-later
// What stands on the page, before it is laid out: the PDF and the HTML page say the same in the same words.
#pragma once

#include "proof/document/document.hpp"
#include "proof/records/page.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/words/units.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct PageSection {
    std::string heading;
    std::vector<std::string> paragraphs;
};

struct PageContent {
    std::string title, subtitle;
    bool simulated = false;
    std::string headline;
    std::vector<std::string> remaining; ///< findings that the headline leaves out
    DocumentTable bands;                ///< its key: the codes in it
    std::vector<PageSection> sections;
    std::vector<std::string> remarks; ///< notes on bands and on the whole
    std::string footer;
};

/// Every band with its change, interval and finding; prediction and added area where there are any.
DocumentTable bands_table(const CompareReport& report, Units units);

PageContent page_content(const CompareReport& report, const PageFacts& facts, Units units = Units::metric);

} // namespace ebbmark
