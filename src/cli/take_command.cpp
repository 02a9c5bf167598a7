// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "cli/person_at_console.hpp"
#include "proof/reports/job_reports.hpp"
#include "work/measuring_day.hpp"
#include "work/next_of_job.hpp"

namespace ebbmark {

namespace {

/// What was typed of the sweep.
AskedSweep asked_sweep(const Arguments& arguments) {
    return {arguments.quantity("level", Dimension::level), arguments.quantity("seconds", Dimension::time),
            arguments.whole_number("repeats", 1, 64)};
}

int code_of(const DayResult& day) {
    if (day.ending == Ending::failed)
        return static_cast<int>(ErrorKind::device);
    if (day.ending == Ending::interrupted)
        return static_cast<int>(ErrorKind::interrupted);
    return day.kept.empty() || day.kept.back().report.accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

void show(const Arguments& arguments, Console& console, AnalysedJob& job, const KeepReport& report) {
    if (format_of(arguments) != Format::text)
        return emit_report(arguments, console, report);
    std::string text; // of a walk every take was told as it was kept
    if (!arguments.flag("positions"))
        text = to_text(report) + '\n';
    ProgressLine progress(console, arguments.flag("quiet"));
    emit(arguments, console,
         text + to_text(next_report(job, arguments.words().at(0), occasion_of(console),
                                    DigitsShown::at_end_of_visit, progress)));
}

} // namespace

void declare_take(Options& options) {
    declare_device(options);
    add_flag(options, "positions",
             "walk through all positions that the visit still lacks, with prompts; without POSITION");
    add_flag(options, "return", "the microphone was moved away and back: the visit's return");
    add_option(options, "level", "DB", "peak below full scale; never above what ebbmark level found");
    add_option(options, "seconds", "S", "length of one sweep");
    add_option(options, "repeats", "N", "equal sweeps in a row");
    declare_calibration(options);
    declare_output(options);
}

int run_take(const Arguments& arguments, Console& console) {
    if (arguments.flag("positions") == (arguments.words().size() == 3))
        throw Error(ErrorKind::usage,
                    arguments.flag("positions")
                        ? "give either POSITION or --positions, not both"
                        : "take needs a POSITION, such as S1-M1, or --positions for all of the visit");
    AnalysedJob job(arguments.words().at(0), Access::write);
    const auto device = device_of(arguments);
    PersonAtConsole person(arguments, console);
    MeasuringDay day(job, *device,
                     {arguments.words().at(1), asked_sweep(arguments), read_calibration(arguments),
                      [&](const std::string& source) { return level_command(arguments, source); },
                      [&] { return occasion_of(console); }},
                     person);
    if (arguments.flag("positions"))
        day.walk();
    else
        day.measure({parse_position(arguments.words().at(2)), arguments.flag("return")});
    show(arguments, console, job, {"take", device->simulated(), day.result().kept});
    return code_of(day.result());
}

} // namespace ebbmark
