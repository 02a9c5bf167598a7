// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/document_output.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "proof/records/promise_document.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/reports/demo_report.hpp"
#include "work/demo_day.hpp"

#include <filesystem>

namespace ebbmark {

void declare_demo(Options& options) {
    declare_output(options);
}

int run_demo(const Arguments& arguments, Console& console) {
    const std::filesystem::path path = arguments.words().empty() ? "ebbmark-demo" : arguments.words()[0];
    require_outside_jobs(path);
    DemoDay day(path);
    ProgressLine progress(console, arguments.flag("quiet"));
    day.measure("before", occasion_of(console), console.today(), progress);
    write_pages(day.job(), "promise", promise_document(day.promise(occasion_of(console), progress)),
                Paper::a4);
    day.measure("after", occasion_of(console), console.today(), progress);
    write_pages(day.job(), "proof", proof_document(day.proof(progress)), Paper::a4);
    emit_report(arguments, console, day.report());
    return 0;
}

} // namespace ebbmark
