// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "files/archive.hpp"
#include "job/layout.hpp"
#include "proof/reports/bundle_report.hpp"
#include "work/checked_evidence.hpp"
#include "work/compared_visits.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

/// Evidence and what the user wrote; results can be made again.
std::vector<std::string> files_of(const JobFolder& job) {
    std::vector<std::string> files;
    for (const std::string& path : files_under(job.path())) {
        const bool protocol = path.starts_with(std::string(layout::visits) + "/") &&
                              path.ends_with(std::string("/") + layout::visit_file);
        if (job.evidence().contains(path) || protocol || path == layout::job_file ||
            path == layout::level_file || path == manifest_name ||
            path.starts_with(std::string(layout::photos) + "/"))
            files.push_back(path);
    }
    return files;
}

} // namespace

void declare_bundle(Options& options) {
    declare_output(options);
}

int run_bundle(const Arguments& arguments, Console& console) {
    const fs::path out = arguments.words().at(1);
    extension_of(out, {".zip"}, "OUT");
    require_free(arguments, out, ResultKind::bundle);
    const auto [checked, job] = open_for_document(arguments.words().at(0), arguments.flag("force"));
    const std::string from = first_before(job);
    const auto later = later_visits(job, from);
    ProgressLine progress(console, arguments.flag("quiet"));
    const AnewResponses anew = make_responses_anew(job, visits_of(from, later), progress);
    const std::string findings = to_json(findings_of(job, checked, progress));
    BundleReport report{job.simulated(), out.string(), checked.digest, std::string(version), {}, 0, {}};
    for (const std::string& said : {evidence_warning(evidence_faults(checked)), sentence_on(anew)})
        if (!said.empty())
            report.notes.push_back(said);
    std::vector<ArchiveEntry> entries = {{bundle_readme_name, bundle_readme(report), {}},
                                         {bundle_findings_name, findings, {}}};
    for (const std::string& path : files_of(job))
        entries.push_back({"job/" + path, "", job.path() / path});
    for (const ArchiveEntry& entry : entries)
        report.files.push_back(entry.path);
    require_free(arguments, out, ResultKind::bundle);
    write_archive(out, entries, arguments.flag("force") ? Overwrite::derived : Overwrite::never);
    report.bytes = fs::file_size(out);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
