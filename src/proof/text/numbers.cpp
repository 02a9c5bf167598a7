// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/numbers.hpp"

#include "proof/text/common_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

namespace ebbmark {

double to_microsecond(double time_s) {
    return std::round(time_s * 1e6) / 1e6;
}

double rounded(double value, int digits) {
    if (!std::isfinite(value))
        return value;
    const std::string text = fmt::format("{:.{}e}", value, digits - 1);
    double result = 0;
    std::from_chars(text.data(), text.data() + text.size(), result);
    return result == 0 ? 0 : result; // no negative zero
}

std::string cell(const std::optional<double>& value, int digits) {
    if (!value || !std::isfinite(*value))
        return "";
    return fmt::format("{}", rounded(*value, digits));
}

std::string seconds_text(double exact_s) {
    const double value_s =
        rounded(exact_s); // as it is kept in files, so that nobody finds another last digit
    const int decimals = value_s < 0.0995 ? 3 : value_s < 9.995 ? 2 : 1;
    return fmt::format("{:.{}f}", value_s, decimals);
}

std::string percent_text(double exact) {
    const double percent = rounded(exact);
    return fmt::format("{:.{}f}", std::abs(percent), std::abs(percent) < 9.95 ? 1 : 0);
}

std::string signed_percent_text(double percent) {
    const std::string size = percent_text(percent);
    if (size == "0.0")
        return size;
    return (percent < 0 ? "-" : "+") + size;
}

std::string with_minus_sign(const std::string& text) {
    std::string result;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool before_digit =
            i + 1 < text.size() && std::isdigit(static_cast<unsigned char>(text[i + 1]));
        // Inside words and dates it is a hyphen.
        const bool begins = i == 0 || !std::isalnum(static_cast<unsigned char>(text[i - 1]));
        result += text[i] == '-' && before_digit && begins ? "−" : std::string(1, text[i]);
    }
    return result;
}

std::string frequency_text(double hz) {
    return hz < 1000 ? fmt::format("{:g}\u00a0Hz", hz) : fmt::format("{:g}\u00a0kHz", hz / 1000);
}

namespace {

struct Range {
    double from_hz, to_hz;
};

std::vector<Range> ranges_of(const std::vector<Band>& chosen, const std::vector<Band>& all) {
    std::vector<Range> ranges;
    bool open = false;
    for (const Band& band : all) {
        const bool in = std::find(chosen.begin(), chosen.end(), band) != chosen.end();
        if (in && open)
            ranges.back().to_hz = band.nominal_hz;
        else if (in)
            ranges.push_back({band.nominal_hz, band.nominal_hz});
        open = in;
    }
    return ranges;
}

std::string range_text(const Range& range) {
    if (range.from_hz == range.to_hz)
        return frequency_text(range.from_hz);
    const bool same_unit = (range.from_hz < 1000) == (range.to_hz < 1000);
    const std::string from =
        same_unit ? fmt::format("{:g}", range.from_hz < 1000 ? range.from_hz : range.from_hz / 1000)
                  : frequency_text(range.from_hz);
    return fmt::format(fmt::runtime(texts::range), from, frequency_text(range.to_hz));
}

} // namespace

std::string bands_text(const std::vector<Band>& chosen, const std::vector<Band>& all) {
    const auto ranges = ranges_of(chosen, all);
    if (ranges.empty())
        return "";
    if (ranges.size() > 3)
        return fmt::format(fmt::runtime(texts::between), frequency_text(ranges.front().from_hz),
                           frequency_text(ranges.back().to_hz));
    std::string text = range_text(ranges.front());
    for (std::size_t i = 1; i < ranges.size(); ++i)
        text += std::string(i + 1 < ranges.size() ? ", " : texts::and_joiner) + range_text(ranges[i]);
    return text;
}

std::string bands_text(const std::vector<Band>& chosen) {
    return chosen.empty() ? "" : bands_text(chosen, bands_between(chosen.front().width, 10, 20000));
}

} // namespace ebbmark
