// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/bundle_report.hpp"
#include "proof/reports/compare_report.hpp"
#include "work/bundle_of_job.hpp"
#include "work/checked_evidence.hpp"

namespace ebbmark {

void declare_bundle(Options& options) {
    declare_output(options);
}

int run_bundle(const Arguments& arguments, Console& console) {
    const std::filesystem::path out = arguments.words().at(1);
    extension_of(out, {".zip"}, "OUT");
    require_free(arguments, out, ResultKind::bundle);
    const auto [checked, job] = open_for_document(
        arguments.words().at(0), arguments.flag("force") ? ChangedEvidence::read : ChangedEvidence::refused);
    ProgressLine progress(console, arguments.flag("quiet"));
    const BundleWriters writers{[](const CompareReport& findings) { return to_json(findings); },
                                bundle_readme};
    Bundle bundle = bundle_of_job(job, checked, writers, progress);
    require_free(arguments, out, ResultKind::bundle);
    const BundleReport report =
        write_bundle(std::move(bundle), out, arguments.flag("force") ? Overwrite::derived : Overwrite::never);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
