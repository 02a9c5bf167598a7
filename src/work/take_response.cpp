// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/take_response.hpp"

#include "files/response_comment.hpp"
#include "signal/samples.hpp"
#include "work/recorded_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace ebbmark {

namespace {

constexpr double quiet_s = 0.2; // shorter than the silence before a sweep

// Another processor rounds otherwise, by less than this part of the peak; nothing that decays from it can be
// heard or measured.
constexpr double rounding = 1e-6;

double level_of(std::span<const double> samples) {
    const double mean = energy(samples) / static_cast<double>(samples.size());
    return 10 * std::log10(std::max(2 * mean, 1e-20)); // a full-scale sine has the mean square 1/2
}

Excitation excitation_for(const JobFolder& job, const Take& take, double rate_hz) {
    if (!take.sweep)
        return excitation_of(read_audio(job.excitation_file(take)).channel(1));
    Sweep sweep = *take.sweep;
    sweep.rate_hz = rate_hz;
    return excitation_of(sweep);
}

/// The bytes that were checked are those that are used. A long tape is not read for every take in it.
AudioFile sound_of(const JobFolder& job, const Take& take) {
    return take.segment ? read_part(job.sound_file(take), take.segment)
                        : audio_of(job.sound_bytes(take), (job.path() / take.sound).string());
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

TakeResponse take_response(Recovered recovered, const Excitation& excitation, const Signal& recording) {
    return {std::move(recovered.found.response),
            excitation.from_hz,
            excitation.to_hz,
            std::move(recovered.hum_hz),
            recovered.found.delay_s,
            std::move(recovered.disturbed_hz),
            heard_levels(recording)};
}

TakeResponse response_from_recording(const JobFolder& job, const Take& take) {
    const AudioFile sound = sound_of(job, take);
    const Signal recording = sound.channel(take.channel);
    const Signal loopback = take.loopback_channel > 0 ? sound.channel(take.loopback_channel) : Signal{};
    const Excitation excitation = excitation_for(job, take, sound.rate_hz);
    RecordingOptions options;
    for (const TakeCalibration& calibration : take.calibrations)
        if (calibration.kind == CalibrationKind::loopback)
            options.stored_loopback = read_audio(job.calibration_file(calibration)).channel(1);
    return take_response(recover(recording, excitation, loopback, options), excitation, recording);
}

TakeResponse response_in(const AudioFile& file, int channel) {
    TakeResponse made{file.channel(channel)};
    const auto info = response_info(file.comment, file.name);
    if (!info)
        return made;
    made.source_from_hz = info->source_from_hz;
    made.source_to_hz = info->source_to_hz;
    made.hum_hz = info->hum_hz;
    made.delay_s = info->delay_s;
    made.disturbed_hz = info->disturbed_hz;
    if (info->level_db && info->noise_db)
        made.heard = HeardLevels{*info->level_db, *info->noise_db};
    return made;
}

std::string response_file_name(const Take& take) {
    return fmt::format("response-{}-{}.wav", take.visit, take.name());
}

std::string response_bytes(const TakeResponse& made, const Take& take) {
    ResponseInfo info{made.source_from_hz, made.source_to_hz, take.simulated,
                      made.hum_hz,         made.delay_s,      made.disturbed_hz};
    if (made.heard) {
        info.level_db = made.heard->level_db;
        info.noise_db = made.heard->noise_db;
    }
    return wav_bytes({made.response.samples}, made.response.rate_hz, SampleFormat::float32, to_comment(info),
                     response_file_name(take));
}

TakeResponse as_kept(TakeResponse made) {
    for (double& sample : made.response.samples)
        sample = static_cast<double>(static_cast<float>(sample));
    return made;
}

bool is_same_response(const TakeResponse& first, const TakeResponse& second) {
    const auto &a = first.response.samples, &b = second.response.samples;
    if (a.size() != b.size() || first.response.rate_hz != second.response.rate_hz ||
        first.source_from_hz != second.source_from_hz || first.source_to_hz != second.source_to_hz)
        return false;
    double peak = 0;
    for (const double sample : b)
        peak = std::max(peak, std::abs(sample));
    for (std::size_t i = 0; i < b.size(); ++i)
        if (!(std::abs(a[i] - b[i]) <= rounding * peak))
            return false;
    return true;
}

} // namespace ebbmark
