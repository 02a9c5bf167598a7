// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/job_comparison.hpp"
#include "cli/output.hpp"
#include "cli/version.hpp"
#include "files/archive.hpp"
#include "job/layout.hpp"
#include "job/verify.hpp"
#include "proof/bundle_report.hpp"

#include <fmt/format.h>

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
    const JobFolder job(arguments.words().at(0), Access::write_if_possible);
    const Verification checked = verify(job.path());
    if (!checked.intact)
        throw Error(
            ErrorKind::changed,
            fmt::format("{}: the evidence is not intact; ebbmark verify tells what changed. A bundle of "
                        "it would prove nothing",
                        job.path().string()));
    const std::string from = first_before(job);
    Progress progress(console, arguments.flag("quiet"));
    const std::string findings = to_json(compare_visits(job, from, later_visits(job, from), {}, progress));
    BundleReport report{job.simulated(), out.string(), checked.digest, std::string(version), {}, 0};
    std::vector<ArchiveEntry> entries = {{"README.txt", bundle_readme(report), {}},
                                         {"findings.json", findings, {}}};
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
