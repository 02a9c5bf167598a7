// SPDX-License-Identifier: GPL-3.0-or-later
// Where results go: the options --format, --out, --force and --quiet, the same in every command.
#pragma once

#include "cli/command.hpp"
#include "proof/pictures.hpp"

#include <filesystem>
#include <string>
#include <string_view>

namespace ebbmark {

enum class Format { text, json, csv };

void declare_output(Options& options);
void declare_picture(Options& options);

Format format_of(const Arguments& arguments);

/// To standard output, or to the file of --out.
void emit(const Arguments& arguments, Console& console, std::string_view bytes);

/// A result beside the main one, such as a response or a picture; an existing file is replaced only with
/// --force.
void write_output(const Arguments& arguments, const std::filesystem::path& path, std::string_view bytes);

/// Before long work: refuses a destination that exists without --force or whose folder is missing.
void require_free(const Arguments& arguments, const std::filesystem::path& path);

/// Before long work: the destination of --picture is of a known kind and free.
void require_picture(const Arguments& arguments);

/// ".svg", ".png", ".pdf" … in lower case; Error(usage) where it is none of `known`.
std::string extension_of(const std::filesystem::path& path, const std::vector<std::string>& known,
                         const std::string& option);

/// The picture of --picture where it is asked for, in the form that its extension names.
template <class Report>
void write_picture(const Arguments& arguments, const Report& report) {
    if (!arguments.has("picture"))
        return;
    const std::string path = arguments.text("picture");
    write_output(arguments, path,
                 picture_of(report, extension_of(path, {".svg", ".png", ".pdf"}, "picture")));
}

/// The report as text, JSON or CSV.
template <class Report>
void emit_report(const Arguments& arguments, Console& console, const Report& report) {
    switch (format_of(arguments)) {
    case Format::text:
        return emit(arguments, console, to_text(report));
    case Format::json:
        return emit(arguments, console, to_json(report));
    case Format::csv:
        return emit(arguments, console, to_csv(report));
    }
}

} // namespace ebbmark
