// SPDX-License-Identifier: GPL-3.0-or-later
// A canvas as bytes of SVG, PNG or PDF; and how wide text comes out. Same canvas, same fonts, same bytes.
#pragma once

#include "proof/draw/canvas.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// The font of every picture and page; it covers Latin, Greek and Cyrillic, and other scripts come from
/// whatever font of the system has them.
inline constexpr const char* font_family = "DejaVu Sans Condensed";
inline constexpr const char* fixed_pitch_family = "DejaVu Sans Mono";

/// Width of one line in points.
double text_width(const std::string& text, const TextStyle& style);

/// `text` in lines no wider than `width` points, broken at word ends, within a word only where it is too
/// long.
std::vector<std::string> broken_lines(const std::string& text, const TextStyle& style, double width);

/// A picture of its own, or, with `inside_page`, an element that takes the width of the page around it.
/// `description` is what a reader who can't see it is told.
std::string to_svg(const Canvas& canvas, const std::string& description, bool inside_page = false);

/// `pixels_per_point` 2.5 gives 180 dots per inch.
std::string to_png(const Canvas& canvas, double pixels_per_point = 2.5);

/// An entry of a PDF's outline: a heading and where it stands.
struct OutlineEntry {
    std::string heading;
    std::size_t page = 0; ///< counted from 0
    double y = 0;         ///< on the canvas
};

struct PdfFacts {
    std::string title;
    std::string date; ///< ISO 8601, or empty: then the file has none
    std::string author, subject;
    std::vector<OutlineEntry> outline;
};

/// One page per canvas, vector shapes, embedded fonts.
std::string to_pdf(const std::vector<Canvas>& pages, const PdfFacts& facts);

} // namespace ebbmark
