// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/level_of_job.hpp"

#include "base/error.hpp"
#include "work/visit_plan.hpp"

#include <algorithm>

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

} // namespace

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

} // namespace ebbmark
