// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/output.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"
#include "job/inside_job.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <ostream>
#include <set>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse(const fs::path& path, std::string_view what) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}", path.string(), what));
}

/// That of --out.
ResultKind kind_of_result(const Arguments& arguments) {
    const Format format = format_of(arguments);
    return format == Format::json  ? ResultKind::json
           : format == Format::csv ? ResultKind::csv
                                   : ResultKind::text;
}

std::string lower_extension(const fs::path& path) {
    std::string extension = path.extension().string();
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return extension;
}

ResultKind kind_named(const fs::path& path) {
    static const std::map<std::string, ResultKind> kinds = {
        {".csv", ResultKind::csv},   {".html", ResultKind::html},   {".jpg", ResultKind::jpeg},
        {".json", ResultKind::json}, {".pdf", ResultKind::pdf},     {".png", ResultKind::png},
        {".svg", ResultKind::svg},   {".wav", ResultKind::response}};
    return kinds.at(lower_extension(path));
}

/// Also where another name or a link leads to the same file.
void refuse_inputs(const Arguments& arguments, const fs::path& path) {
    std::error_code ignored;
    for (std::string input : arguments.inputs()) {
        if (constexpr std::string_view room = "virtual:"; input.starts_with(room))
            input.erase(0, room.size());
        if (fs::equivalent(path, input, ignored))
            refuse(path, "is read by this command too and would be lost; choose another name for the result");
    }
}

void require_replaceable(const Arguments& arguments, const fs::path& path, fs::file_status status,
                         ResultKind kind) {
    if (fs::is_symlink(status))
        refuse(path,
               "is a link, and results are not written through links; name the file itself, or remove the "
               "link");
    if (fs::is_directory(status))
        refuse(path, "is a folder; give the name of a file");
    if (!fs::is_regular_file(status))
        refuse(path, "is not a regular file; give the name of a file on a disk, or - for standard output");
    if (!arguments.flag("force"))
        refuse(path, "exists already; choose another name, or add --force to replace it");
    if (!is_result(path, kind))
        refuse(path,
               fmt::format("is not {}, and --force replaces nothing else here; choose another name, or move "
                           "the file away",
                           name(kind)));
}

} // namespace

void declare_output(Options& options) {
    add_option(options, "format", "text|json|csv", "form of the result (text)");
    add_option(options, "out", "PATH", "write the result to this file (- is standard output)");
    add_flag(options, "force", "replace existing results of the same kind, and nothing else");
    add_flag(options, "quiet", "no progress and no warnings");
}

void declare_picture(Options& options) {
    add_option(options, "picture", "PATH.svg|.png|.pdf", "draw the result");
}

Format format_of(const Arguments& arguments) {
    const std::string chosen = arguments.choice("format", {"text", "json", "csv"});
    return chosen == "json" ? Format::json : chosen == "csv" ? Format::csv : Format::text;
}

void emit(const Arguments& arguments, Console& console, std::string_view bytes) {
    const std::string path = arguments.text("out");
    if (path.empty() || path == "-")
        console.out << bytes;
    else
        write_output(arguments, path, kind_of_result(arguments), bytes);
}

void write_output(const Arguments& arguments, const fs::path& path, ResultKind kind, std::string_view bytes) {
    require_free(arguments, path, kind);
    write_whole(path, bytes, arguments.flag("force") ? Overwrite::derived : Overwrite::never);
}

void write_output(const Arguments& arguments, const fs::path& path, std::string_view bytes) {
    write_output(arguments, path, kind_named(path), bytes);
}

void require_free(const Arguments& arguments, const fs::path& path, ResultKind kind) {
    refuse_inputs(arguments, path);
    require_outside_jobs(path);
    std::error_code ignored;
    const auto status = fs::symlink_status(path, ignored);
    if (fs::exists(status))
        require_replaceable(arguments, path, status, kind);
    const auto folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
    if (!fs::is_directory(folder, ignored))
        refuse(path, fmt::format("the folder {} does not exist; create it first", folder.string()));
}

void require_free(const Arguments& arguments, const fs::path& path) {
    require_free(arguments, path, kind_named(path));
}

void require_outside_jobs(const fs::path& path) {
    if (const auto job = job_around(path))
        refuse(path,
               fmt::format("lies inside the job {}, where results go into {} alone; name a place there, or "
                           "outside the job",
                           job->string(), (*job / layout::results).string()));
}

void require_destinations(const Arguments& arguments) {
    std::set<fs::path> places;
    for (const std::string& path : arguments.destinations())
        if (!places.insert(fs::absolute(path).lexically_normal()).second)
            throw Error(ErrorKind::usage,
                        fmt::format("{}: two results go there; give each its own name", path));
    if (const std::string out = arguments.text("out"); !out.empty() && out != "-")
        require_free(arguments, out, kind_of_result(arguments));
}

std::string extension_of(const std::filesystem::path& path, const std::vector<std::string>& known,
                         const std::string& option) {
    const std::string extension = lower_extension(path);
    if (std::find(known.begin(), known.end(), extension) == known.end())
        throw Error(ErrorKind::usage, fmt::format("--{}: {} must end in one of {}", option, path.string(),
                                                  fmt::join(known, ", ")));
    return extension;
}

void require_picture(const Arguments& arguments) {
    if (!arguments.has("picture"))
        return;
    extension_of(arguments.text("picture"), {".svg", ".png", ".pdf"}, "picture");
    require_free(arguments, arguments.text("picture"));
}

} // namespace ebbmark
