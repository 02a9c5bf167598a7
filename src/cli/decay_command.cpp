// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/job_analysis.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "proof/decay_report.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

DecayReport report_of_visit(const Arguments& arguments, Console& console) {
    if (arguments.words().size() > 1 || !arguments.has("visit"))
        throw Error(ErrorKind::usage, "with a job, decay is called as: ebbmark decay JOB --visit VISIT");
    const JobFolder job(arguments.words()[0], Access::write_if_possible);
    Progress progress(console, arguments.flag("quiet"));
    DecayReport report{job.simulated(), {}};
    for (PositionDecay& entry :
         analyse_visit(job, arguments.text("visit"), decay_options(arguments), false, progress))
        report.responses.push_back(
            {fmt::format("{}", fmt::join(entry.takes, ", ")), 1, entry.rate_hz, std::move(entry.decay)});
    return report;
}

DecayReport report_of_files(const Arguments& arguments, Console& console) {
    Analysed analysed = analyse_files(arguments, console, arguments.words());
    return {analysed.simulated, std::move(analysed.entries)};
}

} // namespace

void declare_decay(Options& options) {
    add_option(options, "visit", "V", "with a job: the visit to analyse");
    declare_analysis(options);
    declare_picture(options);
    declare_output(options);
}

int run_decay(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    const bool job = is_job(arguments.words()[0]);
    const DecayReport report =
        job ? report_of_visit(arguments, console) : report_of_files(arguments, console);
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
