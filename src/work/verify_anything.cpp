// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/verify_anything.hpp"

#include "base/error.hpp"
#include "files/archive.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"
#include "job/manifest.hpp"
#include "results/bundle_result.hpp"
#include "system/temporary_folder.hpp"
#include "work/compared_visits.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view job_folder = "job/"; ///< in a bundle

bool is_whole_job(const fs::path& folder) {
    return fs::exists(folder / layout::job_file) || fs::exists(folder / manifest_name);
}

bool is_bundle(const fs::path& folder) {
    return !is_whole_job(folder) && is_whole_job(folder / "job");
}

void add_fault(Verification& found, std::vector<std::string>& list, const std::string& name,
               const std::string& note) {
    list.push_back(name);
    found.notes.push_back(note);
    found.intact = false;
}

/// What lies beside the job in a bundle: the findings must be those that the recordings give.
void check_findings(const fs::path& folder, Access access, const FindingsWriter& written, Verification& found,
                    Progress& progress) {
    const fs::path file = folder / bundle_findings_name;
    if (!fs::exists(file))
        return add_fault(found, found.missing, bundle_findings_name,
                         "A bundle holds its findings, and these are gone.");
    try {
        const AnalysedJob job(folder / "job", access, found.intact ? Trust::checked : Trust::blind);
        const std::string from = first_before(job);
        if (job.keeps_results())
            make_responses_anew(job, visits_of(from, later_visits(job, from)), progress);
        if (written(findings_of(job, found, progress)) != read_whole(file))
            add_fault(
                found, found.changed, bundle_findings_name,
                fmt::format("{} is not, byte for byte, what this program (Ebbmark {}) finds in the "
                            "recordings. README.txt names the version that it says it was made with. To see "
                            "where they differ: ebbmark compare job --format json.",
                            bundle_findings_name, version));
    } catch (const Error& error) {
        add_fault(found, found.unreadable, bundle_findings_name,
                  fmt::format("{} could not be held against the recordings: {}", bundle_findings_name,
                              error.what()));
    }
}

void check_readme(const fs::path& folder, Verification& found) {
    const fs::path file = folder / bundle_readme_name;
    if (!fs::exists(file))
        return add_fault(found, found.missing, bundle_readme_name,
                         "A bundle holds its README, and this is gone.");
    if (read_whole(file).find(found.digest) == std::string::npos)
        add_fault(found, found.changed, bundle_readme_name,
                  fmt::format("{} does not name the digest of the job beside it.", bundle_readme_name));
}

bool is_in(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// Whether a fault of this file of the bundle is known already; those of the job are by their path in it.
bool is_known(const Verification& found, const std::string& path) {
    const std::string name = path.starts_with(job_folder) ? path.substr(job_folder.size()) : path;
    return is_in(found.changed, name) || is_in(found.missing, name) || is_in(found.unreadable, name);
}

/// Every file of a bundle is in its list, also what is no evidence: findings, README, check.py, and what the
/// user wrote.
void check_list(const fs::path& folder, Verification& found) {
    const fs::path file = folder / bundle_list_name;
    if (!fs::exists(file))
        return add_fault(found, found.missing, bundle_list_name,
                         "A bundle holds a list with the hash of every file, and this is gone.");
    try {
        const Manifest list = by_path(evidence_lines(read_whole(file), bundle_list_name));
        for (const auto& [path, hash] : list) {
            const fs::path listed = folder / path;
            const bool there = fs::exists(fs::symlink_status(listed));
            const bool as_listed =
                fs::is_regular_file(fs::symlink_status(listed)) && sha256_of_file(listed) == hash;
            if (!as_listed && !is_known(found, path))
                add_fault(found, there ? found.changed : found.missing, path,
                          fmt::format("{} is {} {}.", path, there ? "not what it is in" : "missing, and in",
                                      bundle_list_name));
        }
        for (const auto& entry : fs::directory_iterator(folder))
            if (const std::string name = entry.path().filename().string();
                name != "job" && name != bundle_list_name && !list.contains(name))
                found.added.push_back(name);
    } catch (const Error& error) {
        add_fault(found, found.unreadable, bundle_list_name, error.what());
    }
}

/// A packed bundle holds nothing that its list does not name: no second job, no other root.
void check_packed(const fs::path& folder, const std::vector<std::string>& packed, Verification& found) {
    if (!is_bundle(folder) || is_in(found.unreadable, bundle_list_name) ||
        !fs::exists(folder / bundle_list_name))
        return;
    const Manifest list = by_path(evidence_lines(read_whole(folder / bundle_list_name), bundle_list_name));
    for (const std::string& path : packed)
        if (path != bundle_list_name && !list.contains(path))
            add_fault(found, found.changed, path,
                      fmt::format("{} was packed beside the files that {} names; do not trust it.", path,
                                  bundle_list_name));
}

Verification verify_folder(const fs::path& folder, Access access, const std::string& digest,
                           const FindingsWriter& written, Progress& progress) {
    if (!is_bundle(folder))
        return verify(folder, digest);
    Verification found = verify(folder / "job", digest);
    check_findings(folder, access, written, found, progress);
    check_readme(folder, found);
    check_list(folder, found);
    return found;
}

} // namespace

Verification verify_anything(const fs::path& path, const std::string& digest, const FindingsWriter& written,
                             Progress& progress) {
    if (!fs::is_regular_file(path))
        return verify_folder(path, Access::read, digest, written, progress);
    const TemporaryFolder folder;
    const std::vector<std::string> files = unpack_archive(path, folder.path());
    const bool as_written = is_as_written(path, folder.path(), files);
    Verification found = verify_folder(folder.path(), Access::write, digest, written, progress);
    check_packed(folder.path(), files, found);
    if (!as_written)
        found.notes.push_back(fmt::format(
            "{} is not, byte for byte, as this program packs these files: it was packed again or by another "
            "version, or something in it lies outside its files.",
            path.filename().string()));
    return found;
}

} // namespace ebbmark
