// SPDX-License-Identifier: GPL-3.0-or-later
// The before-and-after measurement record on one page: what goes with the invoice. Pure: date and version are
// passed in.
#pragma once

#include "proof/document/document.hpp"
#include "proof/reports/compare_report.hpp"

#include <string>

namespace ebbmark {

struct PageFacts {
    std::string version; ///< of the program, "0.1.0"
    std::string date;    ///< of the page, ISO 8601, "2026-11-25"
};

/// For a PDF of one page or an HTML page. Remarks and files that one page has no room for are counted on it.
Document page_document(const CompareReport& report, const PageFacts& facts);

} // namespace ebbmark
