// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/person_at_console.hpp"
#include "job/level_setting.hpp"
#include "proof/reports/device_reports.hpp"
#include "work/level_of_job.hpp"

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
    const double limit = limit_dbfs(arguments);
    read_levels(job); // what is wrong in the file is told before a device is opened
    const auto device = device_of(arguments);
    PersonAtConsole person(arguments, console);
    auto report = search_level(job, *device, {first, limit}, person, console.now);
    if (!report)
        return static_cast<int>(ErrorKind::interrupted);
    report->job = arguments.words().at(0);
    emit_report(arguments, console, *report);
    return report->sweep ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
