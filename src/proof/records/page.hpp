// SPDX-License-Identifier: GPL-3.0-or-later
// The before-and-after measurement record on one page: what goes with the invoice. Pure: date and version are
// passed in.
#pragma once

#include "proof/reports/compare_report.hpp"

#include <string>

namespace ebbmark {

struct PageFacts {
    std::string version; ///< of the program, "0.1.0"
    std::string date;    ///< of the page, ISO 8601, "2026-11-25"
};

/// One A4 page: vector drawing, embedded fonts. Remarks and file names that find no room are counted on it.
std::string page_pdf(const CompareReport& report, const PageFacts& facts);

/// One self-contained file for screens from 360 pixels wide and for printing; it loads nothing.
std::string page_html(const CompareReport& report, const PageFacts& facts);

} // namespace ebbmark
