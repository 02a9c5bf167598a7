// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/output.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <ostream>

namespace ebbmark {

void declare_output(Options& options) {
    add_option(options, "format", "text|json|csv", "form of the result (text)");
    add_option(options, "out", "PATH", "write the result to this file (- is standard output)");
    add_flag(options, "force", "replace existing results; recordings are never replaced");
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
        write_output(arguments, path, bytes);
}

void write_output(const Arguments& arguments, const std::filesystem::path& path, std::string_view bytes) {
    require_free(arguments, path);
    write_whole(path, bytes, arguments.flag("force") ? Overwrite::derived : Overwrite::never);
}

void require_free(const Arguments& arguments, const std::filesystem::path& path) {
    std::error_code ignored;
    if (std::filesystem::exists(path, ignored) && !arguments.flag("force"))
        throw Error(ErrorKind::unusable,
                    fmt::format("{} exists already; choose another name, or add --force to replace it",
                                path.string()));
    const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
    if (!std::filesystem::is_directory(folder, ignored))
        throw Error(ErrorKind::unusable, fmt::format("{}: the folder {} does not exist; create it first",
                                                     path.string(), folder.string()));
}

std::string extension_of(const std::filesystem::path& path, const std::vector<std::string>& known,
                         const std::string& option) {
    std::string extension = path.extension().string();
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
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
