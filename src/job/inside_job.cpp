// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/inside_job.hpp"

#include "job/layout.hpp"
#include "job/manifest.hpp"

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

bool is_job(const fs::path& folder) {
    std::error_code ignored; // where nothing can be seen, nothing can be written either
    return fs::exists(folder / manifest_name, ignored) ||
           (fs::exists(folder / layout::job_file, ignored) && fs::exists(folder / layout::visits, ignored));
}

} // namespace

std::optional<fs::path> job_around(const fs::path& path) {
    fs::path asked = fs::absolute(path);
    if (!asked.has_filename()) // "folder/" names the folder
        asked = asked.parent_path();
    const fs::path place = fs::weakly_canonical(asked.parent_path()) / asked.filename();
    fs::path inside = place.filename();
    for (fs::path folder = place.parent_path();; folder = folder.parent_path()) {
        const bool in_results = *inside.begin() == layout::results && ++inside.begin() != inside.end();
        if (!in_results && is_job(folder))
            return folder;
        if (folder == folder.root_path())
            return {};
        inside = folder.filename() / inside;
    }
}

} // namespace ebbmark
