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

#include <algorithm>
#include <optional>
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
               VerifyNote note) {
    list.push_back(name);
    found.notes.push_back(std::move(note));
    found.intact = false;
}

/// What lies beside the job in a bundle: the findings must be those that the recordings give.
void check_findings(const fs::path& folder, Access access, const FindingsWriter& written, Verification& found,
                    Progress& progress) {
    const fs::path file = folder / bundle_findings_name;
    if (!fs::exists(file))
        return add_fault(found, found.missing, bundle_findings_name, BundleLacks{BundlePart::findings});
    try {
        const AnalysedJob job(folder / "job", access, found.intact ? Trust::checked : Trust::blind);
        const std::string from = required_visit_before(job);
        if (job.keeps_results())
            make_responses_anew(job, visits_behind(job, from, later_visits(job, from)), progress);
        if (written(findings_of(job, found, progress)) != read_whole(file))
            add_fault(found, found.changed, bundle_findings_name, FindingsDiffer{std::string(version)});
    } catch (const Error& error) {
        add_fault(found, found.unreadable, bundle_findings_name, FindingsNotMade{{error.what()}});
    }
}

void check_readme(const fs::path& folder, Verification& found) {
    const fs::path file = folder / bundle_readme_name;
    if (!fs::exists(file))
        return add_fault(found, found.missing, bundle_readme_name, BundleLacks{BundlePart::readme});
    if (read_whole(file).find(found.digest) == std::string::npos)
        add_fault(found, found.changed, bundle_readme_name, ReadmeOfAnother{});
}

bool is_in(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// Whether a fault of this file of the bundle is known already; those of the job are by their path in it.
bool is_known(const Verification& found, const std::string& path) {
    const std::string name = path.starts_with(job_folder) ? path.substr(job_folder.size()) : path;
    return is_in(found.changed, name) || is_in(found.missing, name) || is_in(found.unreadable, name);
}

/// The bundle's own list; nothing, and that among the faults, where it is gone or cannot be read.
std::optional<Manifest> list_in(const fs::path& folder, Verification& found) {
    const fs::path file = folder / bundle_list_name;
    if (!fs::exists(file)) {
        add_fault(found, found.missing, bundle_list_name, BundleLacks{BundlePart::list});
        return {};
    }
    try {
        return by_path(evidence_lines(read_whole(file), bundle_list_name));
    } catch (const Error& error) {
        add_fault(found, found.unreadable, bundle_list_name, Said{error.what()});
        return {};
    }
}

/// Every file of a bundle is as its list says, also what is no evidence: findings, README, check.py, and what
/// the user wrote.
void check_listed(const fs::path& folder, const Manifest& list, Verification& found) {
    for (const auto& [path, hash] : list) {
        const fs::path listed = folder / path;
        const auto status = fs::symlink_status(listed);
        const bool there = fs::exists(status);
        if ((!fs::is_regular_file(status) || sha256_of_file(listed) != hash) && !is_known(found, path))
            add_fault(found, there ? found.changed : found.missing, path, NotAsListed{path, !there});
    }
}

/// A second root could be taken for the job, and a link leads to one: whatever a list says of them.
void check_roots(const fs::path& folder, Verification& found) {
    for (const auto& entry : fs::directory_iterator(folder)) {
        const std::string name = entry.path().filename().string();
        const fs::file_type kind = entry.symlink_status().type();
        if (name == "job" && kind != fs::file_type::directory)
            add_fault(found, found.changed, name, JobIsLink{});
        else if (name != "job" && kind != fs::file_type::regular)
            add_fault(found, found.changed, name, SecondRoot{name});
    }
}

/// A packed bundle holds no file that its list does not name.
void check_packed(const std::vector<std::string>& packed, const Manifest& list, Verification& found) {
    for (const std::string& path : packed)
        if (path != bundle_list_name && !list.contains(path))
            add_fault(found, found.changed, path, PackedBeside{path});
}

/// Beside an unpacked bundle a file may be the reader's own: it is named, no fault.
void name_added(const fs::path& folder, const Manifest& list, Verification& found) {
    for (const auto& entry : fs::directory_iterator(folder))
        if (const std::string name = entry.path().filename().string();
            fs::is_regular_file(entry.symlink_status()) && name != bundle_list_name && !list.contains(name))
            found.added.push_back(name);
}

/// `packed`: the files of the archive that the folder was unpacked from; null where nobody knows them.
Verification verify_folder(const fs::path& folder, const std::vector<std::string>* packed,
                           const std::string& digest, const FindingsWriter& written, Progress& progress) {
    if (!is_bundle(folder))
        return verify(folder, digest);
    Verification found = verify(folder / "job", digest);
    check_findings(folder, packed ? Access::write : Access::read, written, found, progress);
    check_readme(folder, found);
    check_roots(folder, found);
    if (const auto list = list_in(folder, found)) {
        check_listed(folder, *list, found);
        if (packed)
            check_packed(*packed, *list, found);
        else
            name_added(folder, *list, found);
    }
    return found;
}

} // namespace

Verification verify_anything(const fs::path& path, const std::string& digest, const FindingsWriter& written,
                             Progress& progress) {
    if (!fs::is_regular_file(path))
        return verify_folder(path, nullptr, digest, written, progress);
    const TemporaryFolder folder;
    const std::vector<std::string> files = unpack_archive(path, folder.path());
    const bool as_written = is_as_written(path, folder.path(), files);
    Verification found = verify_folder(folder.path(), &files, digest, written, progress);
    if (!as_written)
        found.notes.emplace_back(PackedOtherwise{path.filename().string()});
    return found;
}

} // namespace ebbmark
