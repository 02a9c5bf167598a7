// SPDX-License-Identifier: GPL-3.0-or-later
// Where results go: the options --format, --out, --force and --quiet, the same in every command.
#pragma once

#include "cli/command.hpp"
#include "files/result_kind.hpp"
#include "proof/charts/pictures.hpp"

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

/// A result beside the main one, such as a response or a picture; require_free comes first.
void write_output(const Arguments& arguments, const std::filesystem::path& path, ResultKind kind,
                  std::string_view bytes);

/// The same, of the kind that its extension names: .csv, .html, .jpg, .json, .pdf, .png, .svg, and .wav for a
/// response.
void write_output(const Arguments& arguments, const std::filesystem::path& path, std::string_view bytes);

/// Every file that a command writes for the user goes through here, before long work and again before it is
/// written. Throws Error(unusable) where the folder is missing, the file is an input of the command, a link
/// or anything but a regular file, lies inside a job outside its results, exists without --force, or exists
/// and is no result of this kind.
void require_free(const Arguments& arguments, const std::filesystem::path& path, ResultKind kind);
void require_free(const Arguments& arguments, const std::filesystem::path& path);

/// Throws Error(unusable) for a file or folder to be made inside a job outside its results.
void require_outside_jobs(const std::filesystem::path& path);

/// Before any command: no two results under one name, and the file of --out is free.
void require_destinations(const Arguments& arguments);

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
