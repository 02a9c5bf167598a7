// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/results.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/toml.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

std::string source_text(const MadeFrom& made_from) {
    return fmt::format("digest = {}\nversion = {}\n", toml_quoted(made_from.digest),
                       toml_quoted(made_from.version));
}

std::string from_text(const MadeFrom& made_from, std::string_view hash) {
    return source_text(made_from) + fmt::format("sha256 = {}\n", toml_quoted(hash));
}

fs::path beside(fs::path result) {
    return result += ".from";
}

} // namespace

std::string digest_of(const Take& take) {
    return sha256(to_toml(take));
}

fs::path write_result(const JobFolder& job, std::string_view name, std::string_view bytes,
                      const MadeFrom& made_from) {
    job.require_writable();
    check_file_name(name);
    const fs::path folder = job.path() / layout::results;
    if (fs::is_symlink(folder))
        throw Error(ErrorKind::unusable,
                    folder.string() +
                        ": is a link, and results are not written through links; replace it by the "
                        "folder itself");
    make_folder(folder);
    const fs::path result = folder / name;
    write_whole(result, bytes, Overwrite::derived);
    write_whole(beside(result), from_text(made_from, sha256(bytes)), Overwrite::derived);
    return result;
}

std::optional<std::string> current_result(const JobFolder& job, std::string_view name,
                                          const MadeFrom& made_from) {
    check_file_name(name);
    const fs::path result = job.path() / layout::results / name;
    if (!fs::exists(result) || !fs::exists(beside(result)))
        return {};
    std::string bytes = read_whole(result, data_limit_bytes);
    const bool same = read_whole(beside(result)) == from_text(made_from, sha256(bytes));
    return same ? std::optional(std::move(bytes)) : std::nullopt;
}

std::optional<fs::path> kept_as_current(const JobFolder& job, std::string_view name,
                                        const MadeFrom& made_from) {
    check_file_name(name);
    const fs::path result = job.path() / layout::results / name;
    if (!fs::exists(result) || !fs::exists(beside(result)))
        return {};
    return read_whole(beside(result)).starts_with(source_text(made_from)) ? std::optional(result)
                                                                          : std::nullopt;
}

} // namespace ebbmark
