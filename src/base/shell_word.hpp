// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace ebbmark {

/// The text as one word of a command that is to be typed: in single quotes where a shell would take it apart.
inline std::string shell_word(const std::string& text) {
    constexpr const char* plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./:,+=@%";
    if (!text.empty() && text.find_first_not_of(plain) == text.npos)
        return text;
    std::string quoted = "'";
    for (const char letter : text)
        quoted += letter == '\'' ? std::string("'\\''") : std::string(1, letter);
    return quoted + "'";
}

} // namespace ebbmark
