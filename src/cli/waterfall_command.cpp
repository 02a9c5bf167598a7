// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/waterfall_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/table.hpp"
#include "work/waterfalls.hpp"

#include <fmt/format.h>

#include <ostream>

namespace ebbmark {

namespace {

WaterfallOptions waterfall_options(const Arguments& arguments) {
    WaterfallOptions options;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    options.window_s = arguments.quantity("window", Dimension::time).value_or(options.window_s);
    if (arguments.choice("axis", {"octave", "linear"}) == "linear")
        options.axis = WaterfallAxis::linear;
    if (!(options.from_hz >= 5 && options.to_hz >= options.from_hz + 10 && options.to_hz <= 2000))
        throw Error(
            ErrorKind::usage,
            fmt::format("--from {:g} --to {:g}: give two frequencies between 5 and 2000 Hz, at least 10 "
                        "Hz apart, the lower first",
                        options.from_hz, options.to_hz));
    if (!(options.window_s >= 0.1 && options.window_s <= 2))
        throw Error(ErrorKind::usage, fmt::format("--window {:g}: give 0.1 to 2 s", options.window_s));
    return options;
}

void tell_hum(Console& console, const WaterfallReport& report) {
    for (const WaterfallEntry& entry : report.entries)
        if (!entry.hum_hz.empty())
            console.err << wrapped(
                fmt::format("{}: hum of the mains may be left at {:.4g} Hz; what stands there is "
                            "not the room.",
                            plain_text(entry.name), fmt::join(entry.hum_hz, ", ")));
}

WaterfallReport report_of_job(const Arguments& arguments, const WaterfallOptions& options) {
    if (!arguments.has("visit") || !arguments.has("position"))
        throw Error(
            ErrorKind::usage,
            "with a job, waterfall is called as: ebbmark waterfall JOB --visit VISIT --position S1-M1");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    const std::string position = arguments.text("position");
    WaterfallReport report;
    add_waterfall_of_take(report, job, arguments.text("visit"), position, options);
    if (arguments.has("after"))
        add_waterfall_of_take(report, job, arguments.text("after"), position, options);
    return report;
}

WaterfallReport report_of_files(const Arguments& arguments, const WaterfallOptions& options) {
    const auto channel = arguments.whole_number("channel", 1, 64);
    WaterfallReport report;
    add_waterfall_of_file(report, arguments.words()[0], channel, options);
    if (arguments.has("after"))
        add_waterfall_of_file(report, arguments.text("after"), channel, options);
    return report;
}

} // namespace

void declare_waterfall(Options& options) {
    add_option(options, "after", "IR|V", "a second response beside it; with a job: a later visit");
    add_option(options, "visit", "V", "with a job: the visit");
    add_option(options, "position", "P", "with a job: the position, such as S1-M1");
    add_option(options, "from", "HZ", "lowest frequency (10)");
    add_option(options, "to", "HZ", "highest frequency (500)");
    add_option(options, "axis", "octave|linear", "1/24 octave or 1 Hz steps (octave)");
    add_option(options, "window", "S", "length of the window that follows each moment (0.4 s)");
    add_option(options, "channel", "N", "the channel that holds the response, counted from 1");
    declare_picture(options);
    declare_output(options);
}

int run_waterfall(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    const WaterfallOptions options = waterfall_options(arguments);
    const WaterfallReport report = is_job(arguments.words()[0]) ? report_of_job(arguments, options)
                                                                : report_of_files(arguments, options);
    tell_hum(console, report);
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
