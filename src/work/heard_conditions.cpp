// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/heard_conditions.hpp"

#include "signal/direct_sound.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace ebbmark {

namespace {

// Streams of one device start some blocks of its buffer apart: 1.4 ms measured with a JACK server, the means
// of two takes.
constexpr double late_apart_s = 0.01;
// The first sounds of three positions and more; a microphone that is put back beside its place and
// reflections within 3 ms change single ones, which their scatter shows.
constexpr std::size_t least_positions = 3;
constexpr double told_change_db = 1, sure_errors = 4;

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
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", code(calibration.kind),
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

HeardTakes takes_of(const AnalysedJob& job, const std::string& visit) {
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
            if (take.device == came_as_file || !take.sweep)
                continue;
            if (const auto delay_s = job.response_of(take).delay_s) {
                heard.late_s += *delay_s - take.sweep->lead_silence_s;
                ++heard.timed;
            }
        }
    if (heard.timed > 0)
        heard.late_s /= heard.timed;
    return heard;
}

/// Of each position of a visit, from its first take that is a recording.
std::map<Position, std::vector<double>> direct_sounds(const AnalysedJob& job, const std::string& visit) {
    std::map<Position, std::vector<double>> levels;
    for (const auto& [position, takes] : job.takes_in_use(visit))
        for (const Take& take : takes)
            if (take.kind == SoundKind::recording) {
                levels.emplace(position, direct_sound_levels_db(job.response_of(take).response));
                break;
            }
    return levels;
}

/// Whether loudspeaker or its settings changed, from the positions that both visits have; nothing where they
/// are too few.
std::optional<Condition> compared_direct_sound(const AnalysedJob& job, const std::string& before,
                                               const std::string& after) {
    const auto first = direct_sounds(job, before), second = direct_sounds(job, after);
    std::vector<std::vector<double>> before_db, after_db;
    for (const auto& [position, levels] : first)
        if (const auto other = second.find(position);
            other != second.end() && !levels.empty() && !other->second.empty()) {
            before_db.push_back(levels);
            after_db.push_back(other->second);
        }
    const auto changes = direct_sound_changes(before_db, after_db);
    if (changes.empty())
        return {};
    std::string bands;
    double most_db = 0;
    for (const DirectSoundChange& change : changes)
        if (change.is_changed) {
            bands += (bands.empty() ? "" : ", ") + label(change.band);
            if (std::abs(change.change_db) > std::abs(most_db))
                most_db = change.change_db;
        }
    const auto text = fmt::format("{} positions, 1.6 to 8 kHz", before_db.size());
    return Condition{"spectrum of the direct sound", text, text, ConditionEffect::none,
                     bands.empty()
                         ? "similar"
                         : fmt::format("differs by up to {:.1f} dB at {} Hz: the loudspeaker, its "
                                       "direction or its settings changed. Levels depend on it; "
                                       "early decay times and clarity of these bands may; T20, T30 and "
                                       "modes only through its direction",
                                       most_db, bands)};
}

Condition compared(const char* what, const std::set<std::string>& before, const std::set<std::string>& after,
                   bool same, const char* effect) {
    return {what, fmt::format("{}", fmt::join(before, "; ")), fmt::format("{}", fmt::join(after, "; ")),
            ConditionEffect::none, same ? "the same" : effect};
}

} // namespace

std::vector<DirectSoundChange> direct_sound_changes(const std::vector<std::vector<double>>& before_db,
                                                    const std::vector<std::vector<double>>& after_db) {
    std::vector<DirectSoundChange> changes;
    const auto count = static_cast<double>(before_db.size());
    if (before_db.size() < least_positions || after_db.size() != before_db.size())
        return changes;
    const auto bands = direct_sound_bands();
    for (std::size_t b = 0; b < bands.size(); ++b) {
        double sum = 0, squares = 0;
        for (std::size_t n = 0; n < before_db.size(); ++n) {
            const double change = after_db[n][b] - before_db[n][b];
            sum += change, squares += change * change;
        }
        const double mean = sum / count;
        const double error = std::sqrt(std::max(0.0, squares / count - mean * mean) / (count - 1));
        changes.push_back(
            {bands[b], mean, std::abs(mean) > told_change_db && std::abs(mean) > sure_errors * error});
    }
    return changes;
}

void add_heard(VisitConditions& conditions, const AnalysedJob& job, const std::string& visit) {
    double level = 0, noise = 0;
    int count = 0;
    for (const auto& [position, takes] : job.takes_in_use(visit))
        for (const Take& take : takes) {
            if (take.kind != SoundKind::recording)
                continue;
            const HeardLevels heard = *job.response_of(take).heard;
            level += heard.level_db, noise += heard.noise_db, ++count;
        }
    if (count == 0)
        return;
    conditions.level_db = level / count;
    conditions.noise_db = noise / count;
}

std::vector<Condition> compared_takes(const AnalysedJob& job, const std::string& before,
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
    if (const auto direct = compared_direct_sound(job, before, after))
        conditions.push_back(*direct);
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
