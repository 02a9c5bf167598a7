// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/bundle_of_job.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "job/layout.hpp"
#include "job/manifest.hpp"
#include "work/check_script.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

/// Evidence and what the user wrote; results can be made again.
std::vector<std::string> files_of(const JobFolder& job) {
    std::vector<std::string> files;
    for (const std::string& path : files_under(job.path())) {
        const bool protocol = path.starts_with(std::string(layout::visits) + "/") &&
                              path.ends_with(std::string("/") + layout::visit_file);
        if (job.evidence().contains(path) || protocol || path == layout::job_file ||
            path == layout::level_file || path == manifest_name || layout::is_time_stamp(path) ||
            path.starts_with(std::string(layout::photos) + "/"))
            files.push_back(path);
        if ((path == layout::photos || path.starts_with(std::string(layout::photos) + "/")) &&
            std::filesystem::is_symlink(job.path() / path))
            throw Error(ErrorKind::unusable,
                        (job.path() / path).string() +
                            ": is a link, and what it leads to may be anything; put the thing itself there");
    }
    return files;
}

/// The list of all other files of the bundle, in the lines that `sha256sum -c` checks.
std::string list_of(const std::vector<ArchiveEntry>& entries) {
    EvidenceLines lines;
    for (const ArchiveEntry& entry : entries)
        lines.push_back({entry.path, entry.file.empty() ? sha256(entry.bytes) : sha256_of_file(entry.file)});
    return to_text(lines);
}

} // namespace

Bundle bundle_of_job(const AnalysedJob& job, const Verification& checked, const BundleWriters& write,
                     Progress& progress) {
    const std::string from = required_visit_before(job);
    const AnewResponses anew =
        make_responses_anew(job, visits_behind(job, from, later_visits(job, from)), progress);
    const std::string findings = write.findings(findings_of(job, checked, progress));
    Bundle bundle{{job.simulated(), {}, checked.digest, std::string(version), {}, 0, {}}, {}};
    BundleReport& report = bundle.report;
    report.evidence_faults = evidence_faults(checked);
    if (anew.differing)
        report.notes.emplace_back(*anew.differing);
    bundle.entries = {{bundle_readme_name, write.readme(report), {}},
                      {bundle_findings_name, findings, {}},
                      {bundle_check_name, check_script, {}}};
    for (const std::string& path : files_of(job))
        bundle.entries.push_back({"job/" + path, "", job.path() / path});
    bundle.entries.push_back({bundle_list_name, list_of(bundle.entries), {}});
    for (const ArchiveEntry& entry : bundle.entries)
        report.files.push_back(entry.path);
    return bundle;
}

BundleReport write_bundle(Bundle bundle, const std::filesystem::path& out, Overwrite overwrite) {
    write_archive(out, bundle.entries, overwrite);
    bundle.report.archive = out.string();
    bundle.report.bytes = std::filesystem::file_size(out);
    return std::move(bundle.report);
}

} // namespace ebbmark
