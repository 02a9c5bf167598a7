// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/verify.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <set>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

/// Files that are no evidence: what the user writes, and what can be made again.
bool is_expected(const std::string& path) {
    const auto in = [&](const char* folder) { return path.starts_with(std::string(folder) + "/"); };
    const bool protocol = in(layout::visits) && path.ends_with(std::string("/") + layout::visit_file);
    return path == layout::job_file || path == layout::level_file || path == manifest_name ||
           path == lock_name || path == waiting_name || protocol || in(layout::results) || in(layout::photos);
}

/// The manifest, or nothing with its name among the changed or missing.
std::optional<Manifest> listed(const fs::path& job, Verification& result) {
    const fs::path list = job / manifest_name;
    if (!fs::exists(list)) {
        result.missing.emplace_back(manifest_name);
        result.notes.emplace_back(
            "Without the list of evidence nothing can be checked: restore it from the copy "
            "on your second disk.");
        return {};
    }
    try {
        return manifest_from(read_whole(list), list.string());
    } catch (const Error& error) {
        result.changed.emplace_back(manifest_name);
        result.notes.emplace_back(error.what());
        return {};
    }
}

void check_files(const fs::path& job, const Manifest& manifest, Verification& result) {
    std::set<std::string> waiting;
    for (const auto& [path, hash] : manifest) {
        ++result.files;
        const fs::path place = job / path;
        const fs::path aside = waiting_place(place);
        const bool only_aside = !fs::exists(place) && fs::exists(aside);
        if (only_aside)
            waiting.insert(aside.lexically_relative(job).generic_string());
        if (!only_aside && !fs::is_regular_file(fs::symlink_status(place)))
            (fs::exists(fs::symlink_status(place)) ? result.changed : result.missing).push_back(path);
        else if (sha256_of_file(only_aside ? aside : place) != hash)
            result.changed.push_back(path);
    }
    if (!waiting.empty())
        result.notes.emplace_back("A program was ended while it kept a take; the next command that writes to "
                                  "this job finishes it.");
    for (const std::string& path : files_under(job))
        if (!manifest.contains(path) && !waiting.contains(path) && !is_expected(path))
            result.added.push_back(path);
}

/// The client's copy names this promise: what it lists must still be there, unchanged.
void check_promise(const StoredPromise& promise, const Manifest& manifest, Verification& result) {
    result.promise = promise.file;
    std::size_t held = 0;
    for (const auto& [path, hash] : promise.evidence) {
        const auto now = manifest.find(path);
        if (now != manifest.end() && now->second == hash) {
            ++held;
            continue;
        }
        result.intact = false;
        (now == manifest.end() ? result.missing : result.changed).push_back(path);
    }
    result.notes.push_back(fmt::format("The digest is that of the promise made on {} ({}). {} of the {} "
                                       "files kept by then are as they were.",
                                       promise.made_at, promise.file, held, promise.evidence.size()));
}

void compute_digest(const fs::path& job, const std::optional<Manifest>& manifest, std::string_view expected,
                    Verification& result) {
    const std::string typed = typed_digest(expected);
    try {
        const JobFolder folder(job, Access::read);
        result.digest = folder.digest();
        result.simulated = folder.simulated();
        for (const StoredPromise& promise : folder.promises())
            if (is_digest_of(typed, promise.sha256))
                return check_promise(promise, *manifest, result);
    } catch (const Error& error) {
        result.notes.emplace_back(error.what());
    }
    if (typed.empty() || is_digest_of(typed, result.digest))
        return;
    const bool files_intact = result.changed.empty() && result.missing.empty();
    result.intact = false;
    result.notes.push_back(fmt::format(
        "The digest is not the expected one, {}.{}", expected,
        files_intact
            ? " All listed files are intact, so takes were added or left out since, or job.toml or a "
              "visit.toml was changed in something that results depend on."
            : ""));
}

} // namespace

Verification verify(const fs::path& job, std::string_view expected_digest) {
    if (!fs::is_directory(job))
        throw Error(ErrorKind::unusable, job.string() + ": is no job folder; correct the path");
    if (!fs::exists(job / layout::job_file) && !fs::exists(job / manifest_name))
        throw Error(ErrorKind::unusable,
                    job.string() + ": is no job: there is no job.toml in it; correct the path");
    Verification result;
    const auto manifest = listed(job, result);
    if (manifest)
        check_files(job, *manifest, result);
    result.intact = result.changed.empty() && result.missing.empty();
    compute_digest(job, manifest, expected_digest, result);
    return result;
}

} // namespace ebbmark
