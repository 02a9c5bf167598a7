// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/level_search.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/on_site.hpp"
#include "cli/output.hpp"
#include "job/level_setting.hpp"
#include "proof/device_reports.hpp"
#include "work/visit_plan.hpp"

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

/// Where the loudspeaker stands and the microphone listens: the first position of the source.
Position position_for(const JobDescription& job, const Arguments& arguments) {
    const auto all = positions_of(job);
    if (!arguments.has("source"))
        return all.front();
    const std::string source = arguments.text("source");
    const auto found = std::find_if(all.begin(), all.end(),
                                    [&](const Position& position) { return position.source == source; });
    if (found == all.end())
        throw Error(ErrorKind::unusable, "job.toml has no source " + source + "; it names " +
                                             all.front().source + ", for instance");
    return *found;
}

LevelOptions options_for(const JobDescription& job, const Arguments& arguments, const std::string& source) {
    LevelOptions options;
    options.limit_dbfs = arguments.quantity("limit", Dimension::level).value_or(options.limit_dbfs);
    if (!(options.limit_dbfs <= 0 && options.limit_dbfs >= -60))
        throw Error(ErrorKind::usage,
                    "--limit is a peak in dB below full scale, -60 to 0, such as --limit -20");
    options.start_hz = lowest_played_hz(job, source);
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
                      const SoundDevice& device, const std::string& source) {
    LevelReport report;
    report.simulated = device.simulated();
    report.device = device.name();
    report.output = device.output_name();
    report.output_channel = device.output_channel();
    report.source = source;
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
    add_option(options, "source", "ID", "the loudspeaker's place in job.toml, such as S2 (the first)");
    add_option(options, "limit", "DB", "nothing is played above this peak, in dB below full scale (-12)");
    declare_output(options);
}

int run_level(const Arguments& arguments, Console& console) {
    JobFolder job(arguments.words().at(0), Access::write);
    const Position first = position_for(job.description(), arguments);
    const LevelOptions options = options_for(job.description(), arguments, first.source);
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
    device->set_up(situation_at(job.description(), visit, first, 1, false));
    ProgressLine progress(console, arguments.flag("quiet"));
    const FoundLevel found = find_level(*device, options, meter_on(progress, interrupt));
    interrupt.stop_if_interrupted();
    if (found.end == LevelEnd::stopped)
        throw Error(ErrorKind::device, found.fault);
    LevelReport report = report_of(found, options, job.description(), *device, first.source);
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
