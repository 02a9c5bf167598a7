// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/heard_conditions.hpp"

#include "cli/job_analysis.hpp"
#include "cli/recorded_parts.hpp"
#include "files/audio_file.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <span>

namespace ebbmark {

namespace {

// Streams of one device start some blocks of its buffer apart: 1.4 ms measured with a JACK server, the means
// of two takes.
constexpr double late_apart_s = 0.01;
constexpr double quiet_s = 0.2; // shorter than the silence before a sweep

double level_of(std::span<const double> samples) {
    const double mean = energy(samples) / static_cast<double>(samples.size());
    return 10 * std::log10(std::max(2 * mean, 1e-20)); // a full-scale sine has the mean square 1/2
}

std::string sweep_text(const Take& take) {
    if (!take.sweep)
        return fmt::format("a sound of its own, SHA-256 {}", take.excitation_sha256.substr(0, 12));
    const Sweep& sweep = *take.sweep;
    return fmt::format("{:g} to {:g} Hz in {:g} s, {} times, {:g} dBFS", sweep.start_hz, sweep.stop_hz,
                       sweep.seconds, sweep.repeats, sweep.level_dbfs);
}

std::string calibration_text(const Take& take) {
    std::string text;
    for (const TakeCalibration& calibration : take.calibrations)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", calibration.kind,
                            calibration.date.empty() ? calibration.sha256.substr(0, 12) : calibration.date);
    if (take.loopback_channel > 0)
        text += text.empty() ? "loopback" : ", loopback";
    return text.empty() ? "none" : text;
}

/// Of all recordings of a visit that are in use.
struct HeardTakes {
    std::set<std::string> sweeps, calibrations, calibration_hashes, devices;
    double late_s = 0; ///< from playing to hearing, mean
    int timed = 0;
};

HeardTakes takes_of(const JobFolder& job, const std::string& visit) {
    HeardTakes heard;
    for (const auto& [position, takes] : job.takes_in_use(visit))
        for (const Take& take : takes) {
            if (take.kind != SoundKind::recording)
                continue;
            heard.sweeps.insert(sweep_text(take));
            heard.calibrations.insert(calibration_text(take));
            for (const TakeCalibration& calibration : take.calibrations)
                heard.calibration_hashes.insert(calibration.sha256);
            heard.devices.insert(take.device);
            // A recorder that somebody started by hand tells nothing.
            if (take.device == "file" || !take.sweep)
                continue;
            if (const auto delay_s = response_of(job, take).delay_s) {
                heard.late_s += *delay_s - take.sweep->lead_silence_s;
                ++heard.timed;
            }
        }
    if (heard.timed > 0)
        heard.late_s /= heard.timed;
    return heard;
}

Condition compared(const char* what, const std::set<std::string>& before, const std::set<std::string>& after,
                   bool same, const char* effect) {
    return {what, fmt::format("{}", fmt::join(before, "; ")), fmt::format("{}", fmt::join(after, "; ")),
            ConditionEffect::none, same ? "the same" : effect};
}

} // namespace

HeardLevels heard_levels(const Signal& recording) {
    const std::span<const double> all = recording.samples;
    const std::size_t part = std::clamp<std::size_t>(frames(quiet_s, recording.rate_hz), 1, all.size());
    double quietest = level_of(all.first(part));
    for (std::size_t from = 0; from + part <= all.size(); from += part)
        quietest = std::min(quietest, level_of(all.subspan(from, part)));
    return {level_of(all), quietest};
}

void add_heard(VisitConditions& conditions, const JobFolder& job, const std::string& visit) {
    double level = 0, noise = 0;
    int count = 0;
    for (const auto& [position, takes] : job.takes_in_use(visit))
        for (const Take& take : takes) {
            if (take.kind != SoundKind::recording)
                continue;
            const auto path = job.sound_file(take);
            const AudioFile sound = read_audio(path, range_of(take.segment, audio_header(path).rate_hz));
            const HeardLevels heard = heard_levels(sound.channel(take.channel));
            level += heard.level_db, noise += heard.noise_db, ++count;
        }
    if (count == 0)
        return;
    conditions.level_db = level / count;
    conditions.noise_db = noise / count;
}

std::vector<Condition> compared_takes(const JobFolder& job, const std::string& before,
                                      const std::string& after) {
    const HeardTakes first = takes_of(job, before), second = takes_of(job, after);
    if (first.sweeps.empty() || second.sweeps.empty())
        return {};
    std::vector<Condition> conditions;
    conditions.push_back(compared("sweep", first.sweeps, second.sweeps, first.sweeps == second.sweeps,
                                  "differs; bands that one of them does not reach are empty, noise and "
                                  "distortion may differ, decay times do not depend on it"));
    conditions.push_back(compared("calibration", first.calibrations, second.calibrations,
                                  first.calibrations == second.calibrations &&
                                      first.calibration_hashes == second.calibration_hashes,
                                  "differs; levels cannot be compared, decay times do not need it"));
    conditions.push_back(compared("sound device", first.devices, second.devices,
                                  first.devices == second.devices,
                                  "differs; decay times do not depend on it, levels do"));
    if (first.timed > 0 && second.timed > 0) {
        const auto text = [](double late_s) { return fmt::format("{:.1f} ms", 1000 * late_s); };
        conditions.push_back(
            {"delay", text(first.late_s), text(second.late_s), ConditionEffect::none,
             std::abs(second.late_s - first.late_s) > late_apart_s
                 ? "differs; the sound system's buffers or cables changed. Times count from the "
                   "direct sound, decay times do not depend on it"
                 : "similar"});
    }
    return conditions;
}

} // namespace ebbmark
