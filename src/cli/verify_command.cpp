// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/reports/job_reports.hpp"
#include "work/verify_anything.hpp"

namespace ebbmark {

void declare_verify(Options& options) {
    add_option(options, "digest", "D",
               "digits that a document shows: of the client's promise, a record, an invoice line");
    declare_output(options);
}

int run_verify(const Arguments& arguments, Console& console) {
    const std::string digest = arguments.text("digest");
    if (arguments.has("digest") && typed_digest(digest).empty())
        throw Error(ErrorKind::usage, "--digest: there are no digits; give those that the document shows");
    ProgressLine progress(console, arguments.flag("quiet"));
    const Verification found = verify_anything(
        arguments.words().at(0), digest, [](const CompareReport& findings) { return to_json(findings); },
        progress);
    emit_report(arguments, console, found);
    return found.confirmed() ? 0 : static_cast<int>(ErrorKind::changed);
}

} // namespace ebbmark
