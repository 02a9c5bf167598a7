// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "job/job_folder.hpp"
#include "proof/reports/job_reports.hpp"

namespace ebbmark {

void declare_exclude(Options& options) {
    add_option(options, "because", "TEXT", "the reason, as the proof will show it");
    declare_output(options);
}

int run_exclude(const Arguments& arguments, Console& console) {
    if (!arguments.has("because"))
        throw Error(ErrorKind::usage, "exclude needs --because with the reason, which the proof will show");
    JobFolder job(arguments.words().at(0), Access::write);
    const std::string take = arguments.words().at(1);
    job.exclude(take, arguments.text("because"), occasion_of(console));
    emit_report(arguments, console, ExcludeReport{job.simulated(), take, arguments.text("because")});
    return 0;
}

} // namespace ebbmark
