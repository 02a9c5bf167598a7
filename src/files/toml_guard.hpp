// SPDX-License-Identifier: GPL-3.0-or-later
// What is checked of a TOML text before toml++ sees it. Version 3.3.0 runs into its own assertions, or past
// the end of a buffer, on texts that are no TOML: a bracket at the very end, a zero byte, a letter outside
// ASCII where a value is expected; and it takes the stack for nesting without end.
#pragma once

#include <cstddef>
#include <string_view>

namespace ebbmark {

/// Throws Error(unusable) with file, line, column and mend where the text is not UTF-8, holds a control
/// character, a letter outside ASCII that stands neither in quotes nor in a comment, a bracket that is not
/// closed, or more than 32 levels of brackets or of dotted names. `name` stands for the file.
void check_toml_text(std::string_view text, std::string_view name);

/// Length in bytes of the UTF-8 sequence that starts `text`, which is not empty; 0 where there is none
/// (RFC 3629).
std::size_t utf8_length(std::string_view text);

} // namespace ebbmark
