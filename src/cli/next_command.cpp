// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "proof/reports/job_reports.hpp"
#include "work/next_of_job.hpp"

namespace ebbmark {

void declare_next(Options& options) {
    declare_output(options);
}

int run_next(const Arguments& arguments, Console& console) {
    const std::string path = arguments.words().at(0);
    AnalysedJob job(path, Access::write_if_possible);
    ProgressLine progress(console, arguments.flag("quiet"));
    emit_report(arguments, console,
                next_report(job, path, occasion_of(console), DigitsShown::always, progress));
    return 0;
}

} // namespace ebbmark
