// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/level_search.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/on_site.hpp"
#include "cli/output.hpp"
#include "cli/visit_plan.hpp"
#include "job/level_setting.hpp"
#include "proof/device_reports.hpp"

#include <algorithm>
#include <ostream>

namespace ebbmark {

namespace {

std::string name_of(LevelEnd end) {
    switch (end) {
    case LevelEnd::enough:
        return "enough";
    case LevelEnd::limit:
        return "limit";
    case LevelEnd::clipping:
        return "clipping";
    case LevelEnd::distortion:
        return "distortion";
    case LevelEnd::stopped:
        return "stopped";
    }
    return "";
}

LevelOptions options_for(const JobDescription& job, const Arguments& arguments) {
    LevelOptions options;
    options.limit_dbfs = arguments.quantity("limit", Dimension::level).value_or(options.limit_dbfs);
    if (!(options.limit_dbfs <= 0 && options.limit_dbfs >= -60))
        throw Error(ErrorKind::usage,
                    "--limit is a peak in dB below full scale, -60 to 0, such as --limit -20");
    options.start_hz = lowest_played_hz(job);
    if (job.question.kind == JobQuestion::Kind::bands) {
        options.from_hz = job.question.from_hz;
        options.to_hz = job.question.to_hz;
    } else if (!job.question.modes_hz.empty()) {
        const auto [low, high] =
            std::minmax_element(job.question.modes_hz.begin(), job.question.modes_hz.end());
        options.from_hz = *low / 1.12; // the third that it lies in
        options.to_hz = *high * 1.12;
    }
    return options;
}

LevelReport report_of(const FoundLevel& found, const LevelOptions& options, const JobDescription& job,
                      const SoundDevice& device) {
    LevelReport report;
    report.simulated = device.simulated();
    report.device = device.name();
    report.end = name_of(found.end);
    report.fault = found.fault;
    report.limit_dbfs = options.limit_dbfs;
    report.aimed_db = aimed_decay_range_db;
    for (const LevelStep& step : found.steps)
        report.steps.push_back(
            {step.level_dbfs, step.peak_dbfs, step.least_range_db, step.most_distortion_percent});
    for (const LevelBand& band : found.bands)
        report.bands.push_back(
            {band.band, band.noise_dbfs, band.range_db, band.predicted_db, band.of_interest});
    report.sweep = found.sweep;
    report.take_s = found.sweep ? whole_duration_s(*found.sweep) : 0;
    report.takes = static_cast<int>(positions_of(job).size()) + 1;
    return report;
}

} // namespace

void declare_level(Options& options) {
    declare_device(options);
    add_option(options, "limit", "DB", "nothing is played above this peak, in dB below full scale (-12)");
    declare_output(options);
}

int run_level(const Arguments& arguments, Console& console) {
    JobFolder job(arguments.words().at(0), Access::write);
    const LevelOptions options = options_for(job.description(), arguments);
    const auto device = device_of(arguments);
    const InterruptNoted interrupt;
    if (!device->simulated()) {
        print_cautions(console);
        if (console.in_is_terminal && ask(console, "Enter starts, Ctrl-C ends.", interrupt) == std::nullopt)
            return static_cast<int>(ErrorKind::interrupted);
    }
    count_down(arguments, console, interrupt);
    const Position first = positions_of(job.description()).front();
    const std::string visit = job.visits().empty() ? "before" : job.visits().rbegin()->first;
    device->set_up(situation_at(job.description(), visit, first, 1, false));
    Progress progress(console, arguments.flag("quiet"));
    const FoundLevel found = find_level(*device, options, meter_on(progress, interrupt));
    interrupt.stop_if_interrupted();
    if (found.end == LevelEnd::stopped)
        throw Error(ErrorKind::device, found.fault);
    LevelReport report = report_of(found, options, job.description(), *device);
    report.job = arguments.words().at(0);
    if (found.sweep)
        keep_level(job, {*found.sweep, device->name(), device->simulated(), console.now()});
    emit_report(arguments, console, report);
    return found.sweep ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
