// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/verify_anything.hpp"

#include "base/error.hpp"
#include "files/archive.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"
#include "results/bundle_result.hpp"
#include "system/temporary_folder.hpp"
#include "work/compared_visits.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

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

Verification verify_folder(const fs::path& folder, Access access, const std::string& digest,
                           const FindingsWriter& written, Progress& progress) {
    if (!is_bundle(folder))
        return verify(folder, digest);
    Verification found = verify(folder / "job", digest);
    check_findings(folder, access, written, found, progress);
    check_readme(folder, found);
    return found;
}

} // namespace

Verification verify_anything(const fs::path& path, const std::string& digest, const FindingsWriter& written,
                             Progress& progress) {
    if (!fs::is_regular_file(path))
        return verify_folder(path, Access::read, digest, written, progress);
    const TemporaryFolder folder;
    unpack_archive(path, folder.path());
    return verify_folder(folder.path(), Access::write, digest, written, progress);
}

} // namespace ebbmark
