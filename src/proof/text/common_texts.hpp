// SPDX-License-Identifier: GPL-3.0-or-later
// Words that drawings, documents and results share. Braces are filled in by fmt; \u00a0 is a no-break space.
// Every text for people stands in words, for translation: in a file named *_texts.hpp, notes in one named
// *_notes.cpp; names of CSV columns and JSON fields are fixed and stand with their writers.
#pragma once

#include "base/measured.hpp"

#include <fmt/format.h>

#include <string>
#include <string_view>

namespace ebbmark::texts {

using Text = std::string_view;

// ---- small words

inline constexpr Text range = "{} to {}";
inline constexpr Text between = "between {} and {}";
inline constexpr Text and_joiner = " and ";
inline constexpr Text at_most = "≤ {}";
inline constexpr Text none = "–";
inline constexpr Text hertz = "Hz";
inline constexpr Text simulated_mark = "SIMULATED";
inline constexpr Text simulated_line =
    "SIMULATED: at least one input comes from a virtual room, not a real one.";
inline constexpr Text page_of = "page {} of {}";

// ---- why a quantity is empty

constexpr Text reason(Empty empty) {
    switch (empty) {
    case Empty::noise:
        return "the decay meets the noise too early";
    case Empty::filter:
        return "shorter than the band filter can show";
    case Empty::source:
        return "the test signal has nothing there";
    case Empty::length:
        return "the recording is cut too early";
    case Empty::overlap:
        return "modes too close together to tell apart";
    case Empty::disturbed:
        return "another sound is in the recording";
    case Empty::one_position:
        return "one position is not enough";
    case Empty::conditions:
        return "the conditions of the two states differ too much";
    case Empty::excluded:
        return "left out on request";
    }
    return "";
}
inline constexpr Text reasons_head = "Empty where it cannot be known: ";
inline constexpr Text reason_entry = "{} = {}";

} // namespace ebbmark::texts

namespace ebbmark {

/// A text with its braces filled in.
template <class... Parts>
std::string filled(texts::Text text, const Parts&... parts) {
    return fmt::format(fmt::runtime(text), parts...);
}

} // namespace ebbmark
