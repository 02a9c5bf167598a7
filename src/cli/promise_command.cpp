// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/document_output.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "job/fixed_plan.hpp"
#include "job/next.hpp"
#include "proof/records/promise_document.hpp"
#include "work/analysed_job.hpp"
#include "work/checked_evidence.hpp"
#include "work/promise_of_job.hpp"

namespace ebbmark {

void declare_promise(Options& options) {
    declare_document(options);
    declare_output(options);
}

int run_promise(const Arguments& arguments, Console& console) {
    require_free_pages(arguments, "promise");
    const std::string path = arguments.words().at(0);
    AnalysedJob job(path, Access::write);
    ProgressLine progress(console, arguments.flag("quiet"));
    // A promise fixes the hashes of all files: what contradicts itself is not to be fixed.
    checked_evidence(path, false);
    const AnewResponses anew = make_responses_anew(job, {visit_before(job.takes())}, progress);
    const std::size_t before = job.promises().size();
    const StoredPromise promise = job.promise(occasion_of(console));
    const PromiseInput input = promise_input(job, promise, units_of(arguments), progress);
    PromiseReport report{input.simulated,
                         path,
                         promise.file,
                         promise.sha256,
                         promise.made_at,
                         promise.prediction,
                         promised_mean(input),
                         input.places,
                         {},
                         job.promises().size() > before,
                         {}};
    if (anew.differing)
        report.notes.push_back(*anew.differing);
    if (const auto differs = plan_differs(job.description(), job.fixed_question(), job.promises(), path))
        report.notes.push_back(*differs);
    for (const JobNote& note : plan_notes(job.description()))
        report.notes.emplace_back(note);
    report.pages = write_pages(arguments, job, "promise", promise_document(input));
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
