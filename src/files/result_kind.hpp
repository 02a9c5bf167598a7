// SPDX-License-Identifier: GPL-3.0-or-later
// What kind of result a file holds, told by its content: only a result is ever replaced, and only by one of
// its kind.
#pragma once

#include <filesystem>
#include <string_view>

namespace ebbmark {

enum class ResultKind {
    text,
    json,
    csv,
    html,
    svg,
    png,
    jpeg,
    pdf,
    bundle,           ///< a ZIP archive that begins as `bundle` begins it
    response,         ///< a WAV file with the mark of a response in its comment (response_comment.hpp)
    sweep,            ///< a WAV file with the hash that the sweep's description beside it gives
    sweep_description ///< TOML
};

/// For messages: "a response made by ebbmark", "a PDF file".
std::string_view name(ResultKind kind);

/// Whether a regular file is a result of that kind; an empty one is of any. Text and tables have no mark:
/// they are UTF-8 text that is none of the other kinds and no TOML, under a name that ends in .txt, .text,
/// .md, .log or not at all, tables in .csv too. Throws Error(unusable) where the file cannot be read.
bool is_result(const std::filesystem::path& path, ResultKind kind);

} // namespace ebbmark
