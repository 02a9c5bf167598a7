// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "job/verify.hpp"
#include "proof/job_reports.hpp"

namespace ebbmark {

void declare_verify(Options& options) {
    add_option(options, "digest", "D", "the digest that the job had, or that of the promise on the client's copy");
    declare_output(options);
}

int run_verify(const Arguments& arguments, Console& console) {
    const Verification found = verify(arguments.words().at(0), arguments.text("digest"));
    emit_report(arguments, console, found);
    return found.intact ? 0 : static_cast<int>(ErrorKind::changed);
}

} // namespace ebbmark
