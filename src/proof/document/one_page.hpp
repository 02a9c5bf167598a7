// SPDX-License-Identifier: GPL-3.0-or-later
// A document on one page. What gives way where it would not fit, in this order: charts get lower, to
// three quarters of their height; type gets smaller, to about 7 points; tables show their shorter form;
// charts get lower still, to half; type gets smaller still, to about 6; texts that may be cut lose their last
// paragraphs. What even so does not fit is shrunk until it does, below that: nothing is cut off.
#pragma once

#include "proof/document/document.hpp"
#include "proof/draw/render.hpp"

#include <vector>

namespace ebbmark {

struct OnePage {
    Canvas canvas{0, 0};
    std::vector<OutlineEntry> outline; ///< all on page 0
};

/// The whole document in this width and height, in points.
OnePage one_page(const Document& document, double width, double height);

} // namespace ebbmark
