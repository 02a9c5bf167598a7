// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/level_search.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/on_site.hpp"
#include "cli/output.hpp"
#include "job/level_setting.hpp"
#include "proof/reports/device_reports.hpp"
#include "work/level_of_job.hpp"
#include "work/visit_plan.hpp"

#include <ostream>

namespace ebbmark {

namespace {

/// The highest peak that is allowed.
double limit_dbfs(const Arguments& arguments) {
    const double limit = arguments.quantity("limit", Dimension::level).value_or(LevelOptions{}.limit_dbfs);
    if (!(limit <= 0 && limit >= -60))
        throw Error(ErrorKind::usage,
                    "--limit is a peak in dB below full scale, -60 to 0, such as --limit -20");
    return limit;
}

} // namespace

void declare_level(Options& options) {
    declare_device(options);
    add_option(options, "source", "ID", "the loudspeaker's place in job.toml, such as S2 (the first)");
    add_option(options, "limit", "DB", "nothing is played above this peak, in dB below full scale (-12)");
    declare_output(options);
}

int run_level(const Arguments& arguments, Console& console) {
    JobFolder job(arguments.words().at(0), Access::write);
    const Position first = position_for_level(
        job.description(), arguments.has("source") ? std::optional(arguments.text("source")) : std::nullopt);
    const LevelOptions options = level_options(job.description(), first.source, limit_dbfs(arguments));
    read_levels(job); // what is wrong in the file is told before anything is played
    const auto device = device_of(arguments);
    const InterruptNoted interrupt;
    if (!device->simulated()) {
        print_cautions(console);
        if (console.in_is_terminal && ask(console, "Enter starts, Ctrl-C ends.", interrupt) == std::nullopt)
            return static_cast<int>(ErrorKind::interrupted);
    }
    count_down(arguments, console, interrupt);
    const std::string visit = job.visits().empty() ? "before" : job.visits().rbegin()->first;
    device->set_up(situation_at(job.description(), visit, {first}, 1));
    ProgressLine progress(console, arguments.flag("quiet"));
    const FoundLevel found = find_level(*device, options, meter_on(progress, interrupt));
    interrupt.stop_if_interrupted();
    if (found.end == LevelEnd::stopped)
        throw Error(ErrorKind::device, found.fault);
    LevelReport report = level_report(found, options, job.description(), *device, first.source);
    report.job = arguments.words().at(0);
    if (found.sweep)
        keep_level(job, {*found.sweep,
                         {device->output_name(), device->output_channel(), first.source, device->rate_hz()},
                         device->name(),
                         device->simulated(),
                         console.now()});
    emit_report(arguments, console, report);
    return found.sweep ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
