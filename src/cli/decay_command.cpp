// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "proof/reports/decay_report.hpp"
#include "proof/reports/visit_report.hpp"
#include "work/analysed_files.hpp"
#include "work/analysed_job.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

VisitReport report_of_visit(const Arguments& arguments, Console& console) {
    if (arguments.words().size() > 1 || !arguments.has("visit"))
        throw Error(ErrorKind::usage, "with a job, decay is called as: ebbmark decay JOB --visit VISIT");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    const std::string visit = arguments.text("visit");
    const DecayOptions options = decay_options(arguments);
    ProgressLine progress(console, arguments.flag("quiet"));
    const auto positions = analyse_visit(job, visit, options, TakeSet::positions, progress);
    const auto returns = analyse_visit(job, visit, options, TakeSet::returns, progress);
    return {job.simulated(), visit, job.digest(), std::string(version),
            visit_result(job.description(), job.visits().at(visit), positions, returns)};
}

DecayReport report_of_files(const Arguments& arguments, Console& console) {
    ProgressLine progress(console, arguments.flag("quiet"));
    AnalysedFiles analysed =
        analyse_files(arguments.words(), {}, channel_of(arguments), decay_options(arguments), progress);
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
    if (is_job(arguments.words()[0])) {
        const VisitReport report = report_of_visit(arguments, console);
        write_picture(arguments, positions_of(report));
        emit_report(arguments, console, report);
    } else {
        const DecayReport report = report_of_files(arguments, console);
        write_picture(arguments, report);
        emit_report(arguments, console, report);
    }
    return 0;
}

} // namespace ebbmark
