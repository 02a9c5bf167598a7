// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "job/job_folder.hpp"
#include "job/next.hpp"
#include "proof/reports/job_reports.hpp"

namespace ebbmark {

void declare_new(Options& options) {
    declare_output(options);
}

int run_new(const Arguments& arguments, Console& console) {
    const std::string path = arguments.words().at(0);
    require_outside_jobs(path);
    const JobFolder job = JobFolder::create(path);
    JobState state = state_of(job, console.today());
    state.path = path;
    emit_report(arguments, console, NextReport{"new", job.simulated(), next_steps(state), {}});
    return 0;
}

} // namespace ebbmark
