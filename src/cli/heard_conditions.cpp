// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/heard_conditions.hpp"

#include "cli/recorded_parts.hpp"
#include "files/audio_file.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace ebbmark {

namespace {

constexpr double quiet_s = 0.2; // shorter than the silence before a sweep

double level_of(std::span<const double> samples) {
    const double mean = energy(samples) / static_cast<double>(samples.size());
    return 10 * std::log10(std::max(2 * mean, 1e-20)); // a full-scale sine has the mean square 1/2
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

} // namespace ebbmark
