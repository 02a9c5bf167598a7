// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/names.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// A letter and a number from 1 to 99 without leading zero.
bool is_place_id(std::string_view text, char letter) {
    return (text.size() == 2 || text.size() == 3) && text[0] == letter && text[1] != '0' &&
           std::all_of(text.begin() + 1, text.end(), is_digit);
}

} // namespace

bool is_source_id(std::string_view text) {
    return is_place_id(text, 'S');
}

bool is_microphone_id(std::string_view text) {
    return is_place_id(text, 'M');
}

Position parse_position(std::string_view text) {
    const auto dash = text.find('-');
    const auto source = text.substr(0, dash);
    const auto microphone = dash == text.npos ? std::string_view() : text.substr(dash + 1);
    if (!is_source_id(source) || !is_microphone_id(microphone))
        throw Error(ErrorKind::unusable,
                    fmt::format("\"{}\" is no position; write source and microphone, such as S1-M1", text));
    return {std::string(source), std::string(microphone)};
}

void check_visit_name(std::string_view name) {
    const bool characters = std::all_of(
        name.begin(), name.end(), [](char c) { return is_letter(c) || is_digit(c) || c == '-' || c == '_'; });
    if (name.empty() || name.size() > 40 || !is_letter(name[0]) || !characters)
        throw Error(ErrorKind::unusable,
                    fmt::format("\"{}\" cannot name a visit; use up to 40 letters without accents, digits, "
                                "- and _, beginning with a letter, such as before or after-2",
                                name));
}

void check_file_name(std::string_view name) {
    const bool odd = std::any_of(name.begin(), name.end(), [](char c) {
        return c == '/' || c == '\\' || static_cast<unsigned char>(c) < 32;
    });
    if (name.empty() || name.size() > 100 || name[0] == '.' || odd)
        throw Error(ErrorKind::unusable,
                    fmt::format("\"{}\" is no plain file name; leave out folders and dots in front", name));
}

} // namespace ebbmark
