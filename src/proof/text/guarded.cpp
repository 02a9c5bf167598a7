// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/guarded.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

constexpr char32_t replacement = 0xFFFD;

/// Reads one code point at `at` and moves past it. RFC 3629: no overlong forms, surrogates or values above
/// 10FFFF.
char32_t next_point(std::string_view text, std::size_t& at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned lead = byte(at++);
    if (lead < 0x80)
        return lead;
    const int more = lead >= 0xF0 && lead <= 0xF4   ? 3
                     : lead >= 0xE0 && lead <= 0xEF ? 2
                     : lead >= 0xC2 && lead <= 0xDF ? 1
                                                    : 0;
    if (more == 0 || at + static_cast<std::size_t>(more) > text.size())
        return replacement;
    char32_t point = lead & (0x3Fu >> more);
    for (int i = 0; i < more; ++i) {
        const unsigned next = byte(at + static_cast<std::size_t>(i));
        if ((next & 0xC0u) != 0x80u)
            return replacement;
        point = (point << 6) | (next & 0x3Fu);
    }
    constexpr char32_t least[] = {0, 0x80, 0x800, 0x10000};
    if (point < least[more] || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF))
        return replacement;
    at += static_cast<std::size_t>(more);
    return point;
}

// Unicode Standard Annex 11, the large blocks; enough to keep columns straight.
bool is_wide(char32_t p) {
    return (p >= 0x1100 && p <= 0x115F) || (p >= 0x2E80 && p <= 0xA4CF) || (p >= 0xAC00 && p <= 0xD7A3) ||
           (p >= 0xF900 && p <= 0xFAFF) || (p >= 0xFE30 && p <= 0xFE6F) || (p >= 0xFF00 && p <= 0xFF60) ||
           (p >= 0xFFE0 && p <= 0xFFE6) || (p >= 0x1F300 && p <= 0x1FAFF) || (p >= 0x20000 && p <= 0x3FFFD);
}

bool is_combining(char32_t p) {
    return (p >= 0x0300 && p <= 0x036F) || (p >= 0x0483 && p <= 0x0489) || (p >= 0x0591 && p <= 0x05BD) ||
           (p >= 0x064B && p <= 0x065F) || (p >= 0x1AB0 && p <= 0x1AFF) || (p >= 0x1DC0 && p <= 0x1DFF) ||
           (p >= 0x20D0 && p <= 0x20FF) || (p >= 0xFE00 && p <= 0xFE0F) || (p >= 0xFE20 && p <= 0xFE2F);
}

std::size_t width_of(char32_t point) {
    return is_combining(point) ? 0 : is_wide(point) ? 2 : 1;
}

} // namespace

bool is_steering(char32_t p) {
    return p < 0x20 || (p >= 0x7F && p < 0xA0) || p == 0x061C || (p >= 0x200B && p <= 0x200F) ||
           (p >= 0x2028 && p <= 0x202E) || (p >= 0x2060 && p <= 0x206F) || p == 0xFEFF ||
           (p & 0xFFFEu) == 0xFFFEu;
}

std::vector<char32_t> code_points(std::string_view text) {
    std::vector<char32_t> points;
    for (std::size_t at = 0; at < text.size();)
        points.push_back(next_point(text, at));
    return points;
}

std::string utf8(char32_t point) {
    const auto tail = [&](unsigned shift) { return static_cast<char>(0x80u | ((point >> shift) & 0x3Fu)); };
    if (point < 0x80)
        return {static_cast<char>(point)};
    if (point < 0x800)
        return {static_cast<char>(0xC0u | (point >> 6)), tail(0)};
    if (point < 0x10000)
        return {static_cast<char>(0xE0u | (point >> 12)), tail(6), tail(0)};
    return {static_cast<char>(0xF0u | (point >> 18)), tail(12), tail(6), tail(0)};
}

std::size_t columns(std::string_view text) {
    std::size_t sum = 0;
    for (const char32_t point : code_points(text))
        sum += width_of(point);
    return sum;
}

std::string plain_text(std::string_view text) {
    std::string safe;
    for (const char32_t point : code_points(text))
        safe += is_steering(point) ? fmt::format("<U+{:04X}>", static_cast<unsigned>(point)) : utf8(point);
    return safe;
}

std::string markup_text(std::string_view text) {
    std::string safe;
    for (const char c : plain_text(text)) {
        switch (c) {
        case '&':
            safe += "&amp;";
            break;
        case '<':
            safe += "&lt;";
            break;
        case '>':
            safe += "&gt;";
            break;
        case '"':
            safe += "&quot;";
            break;
        case '\'':
            safe += "&#39;";
            break;
        default:
            safe += c;
        }
    }
    return safe;
}

std::string csv_text(std::string_view text) {
    std::string cell = plain_text(text);
    if (!cell.empty() && std::string_view("=+-@").find(cell.front()) != std::string_view::npos)
        cell.insert(cell.begin(), '\'');
    if (cell.find_first_of(",\";") == std::string::npos)
        return cell;
    std::string quoted = "\"";
    for (const char c : cell)
        quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + '"';
}

std::string shortened(std::string_view text, std::size_t most) {
    if (columns(text) <= most)
        return std::string(text);
    const auto points = code_points(text);
    const auto taking = [](auto first, auto last, std::size_t room) {
        std::vector<char32_t> taken;
        for (; first != last && width_of(*first) <= room; ++first) {
            room -= width_of(*first);
            taken.push_back(*first);
        }
        return taken;
    };
    const std::size_t room = most - 1;
    std::vector<char32_t> tail = taking(points.rbegin(), points.rend(), room / 2);
    std::reverse(tail.begin(), tail.end());
    std::string joined;
    for (const char32_t point : taking(points.begin(), points.end(), room - room / 2))
        joined += utf8(point);
    joined += "…";
    for (const char32_t point : tail)
        joined += utf8(point);
    return joined;
}

} // namespace ebbmark
