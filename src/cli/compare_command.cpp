// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "proof/records/page.hpp"
#include "proof/reports/compare_report.hpp"
#include "work/compared_files.hpp"
#include "work/compared_visits.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

void write_page(const Arguments& arguments, const Console& console, const CompareReport& report) {
    const std::string path = arguments.text("page");
    const PageFacts facts{std::string(version), console.today()};
    const bool pdf = extension_of(path, {".pdf", ".html"}, "page") == ".pdf";
    const Document page = page_document(report, facts);
    write_output(arguments, path, pdf ? document_pdf(page, Paper::a4, Pages::one) : document_html(page));
}

CompareReport report_of_files(const Arguments& arguments, Console& console) {
    FilesToCompare files{arguments.list("before"), arguments.list("after")};
    if (files.before.empty() || files.after.empty())
        throw Error(ErrorKind::usage,
                    "compare needs a job, or --before with at least one response and --after with at "
                    "least one");
    files.paired = !arguments.flag("unpaired");
    files.volume_m3 = arguments.quantity("volume", Dimension::volume, 0.1, 1e6);
    files.only_channel = channel_of(arguments);
    ProgressLine progress(console, arguments.flag("quiet"));
    return compare_files(files, decay_options(arguments), progress);
}

/// Whether what comes of it is more than a look at a terminal.
bool is_for_others(const Arguments& arguments) {
    return arguments.has("page") || arguments.has("out") || arguments.has("picture") ||
           format_of(arguments) != Format::text;
}

CompareReport report_of_job(const Arguments& arguments, Console& console) {
    if (arguments.has("before") || arguments.has("after"))
        throw Error(ErrorKind::usage, "compare takes either a job or --before and --after, not both");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    const std::string from =
        arguments.has("from-visit") ? arguments.text("from-visit") : required_visit_before(job);
    const auto later =
        arguments.has("to-visit") ? std::vector{arguments.text("to-visit")} : later_visits(job, from);
    ProgressLine progress(console, arguments.flag("quiet"));
    return compare_job(job, from, later, decay_options(arguments),
                       is_for_others(arguments) ? MadeOf::recordings : MadeOf::kept_responses, progress);
}

} // namespace

void declare_compare(Options& options) {
    add_list(options, "before", "IR", "responses before the treatment");
    add_list(options, "after", "IR", "responses after it, the same positions in the same order");
    add_option(options, "from-visit", "V",
               "with a job: the visit before (of those named before… with the most positions the latest)");
    add_option(options, "to-visit", "V",
               "with a job: the visit after (the latest; those between are compared too)");
    add_flag(options, "unpaired", "the positions differ, or repeat one position: compare without pairing");
    add_option(options, "volume", "\"35 m3\"", "room volume, for the added absorption area");
    add_option(options, "page", "PATH.pdf|.html", "the findings on one page");
    declare_analysis(options);
    declare_picture(options);
    declare_output(options);
}

int run_compare(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    if (arguments.has("page")) {
        extension_of(arguments.text("page"), {".pdf", ".html"}, "page");
        require_free(arguments, arguments.text("page"));
    }
    const CompareReport report =
        arguments.words().empty() ? report_of_files(arguments, console) : report_of_job(arguments, console);
    write_picture(arguments, report);
    if (arguments.has("page"))
        write_page(arguments, console, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
