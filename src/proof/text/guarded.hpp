// SPDX-License-Identifier: GPL-3.0-or-later
// Text from outside (file names, job titles) made harmless for where it goes. Pure, never throws for odd
// bytes.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// The code points of `text`; every byte that is no UTF-8 becomes U+FFFD.
std::vector<char32_t> code_points(std::string_view text);

/// Control characters, line and paragraph separators, and the marks that change the reading direction.
bool is_steering(char32_t point);

/// One code point in UTF-8.
std::string utf8(char32_t point);

/// Columns that `text` takes on a terminal: wide East Asian characters count two, combining marks none.
std::size_t columns(std::string_view text);

/// For terminals and pictures: control characters and the marks that reorder text stand as <U+001B>, so that
/// a file name can neither steer a terminal nor disguise itself; the result is valid UTF-8 on one line.
std::string plain_text(std::string_view text);

/// For HTML and SVG, as content and inside double quotes: `plain_text` with & < > " ' as entities.
std::string markup_text(std::string_view text);

/// One cell of a CSV file (RFC 4180): quoted where needed; a text that a spreadsheet would run as a formula
/// gets an apostrophe in front.
std::string csv_text(std::string_view text);

/// `text` in at most `most` columns (at least 5), shortened in the middle, so that both ends of a file name
/// stay.
std::string shortened(std::string_view text, std::size_t most);

} // namespace ebbmark
