// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "job/fixed_plan.hpp"
#include "proof/records/page.hpp"
#include "proof/reports/compare_report.hpp"
#include "signal/same_place.hpp"
#include "verdict/comparison.hpp"
#include "verdict/places.hpp"
#include "work/checked_evidence.hpp"
#include "work/compared_visits.hpp"
#include "work/room_responses.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::vector<ResponseDecay> decays(const Analysed& analysed) {
    std::vector<ResponseDecay> list;
    for (const DecayEntry& entry : analysed.entries)
        list.push_back(entry.decay);
    return list;
}

void write_page(const Arguments& arguments, const Console& console, const CompareReport& report) {
    const std::string path = arguments.text("page");
    const PageFacts facts{std::string(version), console.today()};
    const bool pdf = extension_of(path, {".pdf", ".html"}, "page") == ".pdf";
    write_output(arguments, path, pdf ? page_pdf(report, facts) : page_html(report, facts));
}

void require_pairs(const Analysed& before, const Analysed& after) {
    if (before.entries.size() != after.entries.size())
        throw Error(
            ErrorKind::usage,
            fmt::format("{} responses before and {} after do not pair; give the same positions in the same "
                        "order, or add --unpaired to compare without pairing",
                        before.entries.size(), after.entries.size()));
}

CompareReport report_of_files(const Arguments& arguments, Console& console) {
    const auto before_paths = arguments.list("before"), after_paths = arguments.list("after");
    if (before_paths.empty() || after_paths.empty())
        throw Error(ErrorKind::usage,
                    "compare needs a job, or --before with at least one response and --after with at "
                    "least one");
    CompareOptions options;
    options.paired = !arguments.flag("unpaired");
    options.volume_m3 = arguments.quantity("volume", Dimension::volume, 0.1, 1e6);
    const Analysed before = analyse_files(arguments, console, before_paths, after_paths);
    const Analysed after = analyse_files(arguments, console, after_paths, before_paths);
    if (options.paired)
        require_pairs(before, after);
    CompareReport report;
    report.simulated = before.simulated || after.simulated;
    report.before_files = before.files;
    report.after_files = after.files;
    report.volume_m3 = options.volume_m3;
    const auto channel = arguments.whole_number("channel", 1, 64);
    const RoomResponses before_room = read_every_channel(before_paths, channel),
                        after_room = read_every_channel(after_paths, channel);
    StatePair states{decays(before), decays(after), options};
    join_repeats(states, places_of(before_room.responses), places_of(after_room.responses));
    ModesOfTwo modes; // in the bass; who looks at higher bands alone need not wait for them
    if (arguments.quantity("from", Dimension::frequency).value_or(0) <= RingingOptions{}.to_hz)
        modes = modes_of_two(before_room, after_room, {1, options.paired});
    states.options.modes = modes.pairs;
    report.comparison = compare(states.before, states.after, states.options);
    report.comparison.notes.insert(report.comparison.notes.end(), modes.notes.begin(), modes.notes.end());
    return report;
}

constexpr const char* kept_responses_note = "Made from the responses kept in results where they are there. A "
                                            "page, a file, JSON and CSV are made from the "
                                            "recordings themselves, as proof and bundle are.";

/// Whether what comes of it is more than a look at a terminal.
bool is_for_others(const Arguments& arguments) {
    return arguments.has("page") || arguments.has("out") || arguments.has("picture") ||
           format_of(arguments) != Format::text;
}

CompareReport report_of_job(const Arguments& arguments, Console& console) {
    if (arguments.has("before") || arguments.has("after"))
        throw Error(ErrorKind::usage, "compare takes either a job or --before and --after, not both");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    const std::string from = arguments.has("from-visit") ? arguments.text("from-visit") : first_before(job);
    const auto later =
        arguments.has("to-visit") ? std::vector{arguments.text("to-visit")} : later_visits(job, from);
    ProgressLine progress(console, arguments.flag("quiet"));
    const auto faults = evidence_faults(verify(job.path()));
    std::string said = kept_responses_note;
    if (is_for_others(arguments))
        said = sentence_on(make_responses_anew(job, visits_of(from, later), progress));
    CompareReport report = compare_visits(job, from, later, decay_options(arguments), progress);
    report.evidence_faults = faults;
    for (const std::string& note : {said, difference_note(job.description(), job.fixed_question(),
                                                          job.promises(), job.path().string())})
        if (!note.empty())
            report.comparison.notes.push_back(note);
    return report;
}

} // namespace

void declare_compare(Options& options) {
    add_list(options, "before", "IR", "responses before the treatment");
    add_list(options, "after", "IR", "responses after it, the same positions in the same order");
    add_option(options, "from-visit", "V",
               "with a job: the visit before (the first whose name begins with before)");
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
