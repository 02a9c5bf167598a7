// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers as people read them and as files keep them. Decimal point always, whatever the locale.
#pragma once

#include "base/bands.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

/// Digits that keep every exact band frequency and sample rate apart.
constexpr int frequency_digits = 6;

/// Times on a recording's scale, to the microsecond: finer than a sample at any rate.
double to_microsecond(double time_s);

/// `value` rounded to `digits` significant decimal digits, so that the last bits of a sum don't reach a file.
double rounded(double value, int digits = 4);

/// As it stands in CSV: four significant digits, shortest form; empty where absent or not finite.
std::string cell(const std::optional<double>& value, int digits = 4);

/// "0.034", "0.61", "2.48", "12.3": decay times in seconds, about as fine as they can be known.
std::string seconds_text(double exact_s);

/// "+3.1", "-9.4", "-43": signed per cent, one decimal below 10.
std::string signed_percent_text(double percent);

/// "3.1", "43": per cent without sign.
std::string percent_text(double exact);

/// Typographic minus signs in front of numbers, for print: "-43" to "−43"; hyphens in words and dates stay.
std::string with_minus_sign(const std::string& text);

/// "63 Hz", "1.25 kHz", with a no-break space.
std::string frequency_text(double hz);

/// The bands as a person would say them: "50 to 80 Hz, 125 Hz and 1 to 2 kHz". `all` is the row of bands that
/// they were chosen from: neighbours there make a range. More than three ranges are named by their ends
/// alone: "between 50 Hz and 2 kHz".
std::string bands_text(const std::vector<Band>& chosen, const std::vector<Band>& all);
/// Chosen from all that there are: a band left out between two parts a range.
std::string bands_text(const std::vector<Band>& chosen);

} // namespace ebbmark
