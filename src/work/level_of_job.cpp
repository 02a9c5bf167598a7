// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/level_of_job.hpp"

#include "base/error.hpp"
#include "job/level_setting.hpp"
#include "work/visit_plan.hpp"

#include <algorithm>

namespace ebbmark {

Position position_for_level(const JobDescription& job, const std::optional<std::string>& source) {
    const auto all = positions_of(job);
    if (!source)
        return all.front();
    const auto found = std::find_if(all.begin(), all.end(),
                                    [&](const Position& position) { return position.source == *source; });
    if (found == all.end())
        throw Error(ErrorKind::unusable, "job.toml has no source " + *source + "; it names " +
                                             all.front().source + ", for instance");
    return *found;
}

LevelOptions level_options(const JobDescription& job, const std::string& source, double limit_dbfs) {
    LevelOptions options;
    options.limit_dbfs = limit_dbfs;
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

LevelReport level_report(const FoundLevel& found, const LevelOptions& options, const JobDescription& job,
                         const SoundDevice& device, const std::string& source) {
    LevelReport report;
    report.simulated = device.simulated();
    report.device = device.name();
    report.output = device.output_name();
    report.output_channel = device.output_channel();
    report.source = source;
    report.end = found.end;
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

std::optional<LevelReport> search_level(JobFolder& job, SoundDevice& device, const LevelSearch& search,
                                        Person& person, const std::function<std::string()>& now) {
    const JobDescription& description = job.description();
    const std::string& source = search.first.source;
    const LevelOptions options = level_options(description, source, search.limit_dbfs);
    read_levels(job); // what is wrong in the file is told before anything is played
    if (!device.simulated() && person.ask(SoundGrows{}) != Answer::go_on)
        return {};
    person.leave_room();
    const std::string visit = job.visits().empty() ? "before" : job.visits().rbegin()->first;
    device.set_up(situation_at(description, visit, {search.first}, 1));
    const FoundLevel found = find_level(device, options, person.watch());
    person.stop_if_interrupted();
    if (found.end == LevelEnd::stopped)
        throw Error(ErrorKind::device, found.fault);
    if (found.sweep)
        keep_level(job, {*found.sweep,
                         {device.output_name(), device.output_channel(), source, device.rate_hz()},
                         device.name(),
                         device.simulated(),
                         now()});
    return level_report(found, options, description, device, source);
}

} // namespace ebbmark
