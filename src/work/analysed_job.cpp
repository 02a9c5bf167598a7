// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/analysed_job.hpp"

#include "base/error.hpp"
#include "base/in_parallel.hpp"
#include "base/shell_word.hpp"
#include "decay/takes.hpp"
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "job/layout.hpp"
#include "job/results.hpp"
#include "signal/recording.hpp"
#include "work/hum_bands.hpp"
#include "work/recorded_parts.hpp"
#include "work/response_check.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

namespace ebbmark {

namespace {

Excitation excitation_for(const JobFolder& job, const Take& take, double rate_hz) {
    if (!take.sweep)
        return excitation_of(read_audio(job.excitation_file(take)).channel(1));
    Sweep sweep = *take.sweep;
    sweep.rate_hz = rate_hz;
    return excitation_of(sweep);
}

TakeResponse from_recording(const JobFolder& job, const Take& take) {
    const std::filesystem::path path = job.sound_file(take);
    const AudioFile sound = read_audio(path, range_of(take.segment, audio_header(path).rate_hz));
    const Signal recording = sound.channel(take.channel);
    const Signal loopback = take.loopback_channel > 0 ? sound.channel(take.loopback_channel) : Signal{};
    const Excitation excitation = excitation_for(job, take, sound.rate_hz);
    RecordingOptions options;
    for (const TakeCalibration& calibration : take.calibrations)
        if (calibration.kind == "loopback")
            options.stored_loopback = read_audio(job.calibration_file(calibration)).channel(1);
    Recovered recovered = recover(recording, excitation, loopback, options);
    return {std::move(recovered.found.response), excitation.from_hz,      excitation.to_hz,
            std::move(recovered.hum_hz),         recovered.found.delay_s, std::move(recovered.disturbed_hz)};
}

TakeResponse from_response(const std::filesystem::path& path, int channel) {
    const AudioFile sound = read_audio(path);
    const auto info = response_info(sound.comment, sound.name);
    const Signal response = sound.channel(channel);
    return info ? TakeResponse{response,     info->source_from_hz, info->source_to_hz,
                               info->hum_hz, info->delay_s,        info->disturbed_hz}
                : TakeResponse{response};
}

std::vector<std::string> visit_names(const JobFolder& job) {
    std::vector<std::string> names;
    for (const auto& [name, protocol] : job.visits())
        names.push_back(name);
    return names;
}

std::string file_name_of(const Take& take) {
    return fmt::format("response-{}-{}.wav", take.visit, take.name());
}

MadeFrom made_from(const Take& take) {
    return {digest_of(take), std::string(version)};
}

/// The file of a response that was made from a recording.
std::string bytes_of(const TakeResponse& made, const Take& take) {
    const ResponseInfo info{made.source_from_hz, made.source_to_hz, take.simulated,
                            made.hum_hz,         made.delay_s,      made.disturbed_hz};
    return wav_bytes({made.response.samples}, made.response.rate_hz, SampleFormat::float32, to_comment(info),
                     file_name_of(take));
}

// Another processor rounds otherwise, by less than this part of the peak; nothing that decays from it can be
// heard or measured.
constexpr double rounding = 1e-6;

/// Whether a kept response is the one that was made anew but for rounding.
bool is_same_response(const std::filesystem::path& kept, const TakeResponse& made) {
    try {
        const TakeResponse read = from_response(kept, 1);
        const auto &a = read.response.samples, &b = made.response.samples;
        if (a.size() != b.size() || read.response.rate_hz != made.response.rate_hz ||
            read.source_from_hz != made.source_from_hz || read.source_to_hz != made.source_to_hz)
            return false;
        double peak = 0;
        for (const double sample : b)
            peak = std::max(peak, std::abs(sample));
        for (std::size_t i = 0; i < b.size(); ++i)
            if (!(std::abs(a[i] - b[i]) <= rounding * peak))
                return false;
        return true;
    } catch (const Error&) {
        return false; // damaged
    }
}

/// Every recording that counts in these visits.
std::vector<Take> recordings_of(const JobFolder& job, const std::vector<std::string>& visits) {
    std::vector<Take> all;
    for (const Take& take : job.takes())
        if (take.in_use() && take.kind == SoundKind::recording &&
            std::find(visits.begin(), visits.end(), take.visit) != visits.end())
            all.push_back(take);
    return all;
}

/// As read back, so that a kept response and a new one give the same figures.
TakeResponse as_kept(TakeResponse made) {
    for (double& sample : made.response.samples)
        sample = static_cast<double>(static_cast<float>(sample));
    return made;
}

TakeResponse read_or_made(const JobFolder& job, const Take& take) {
    if (take.kind == SoundKind::response) {
        TakeResponse made = from_response(job.sound_file(take), take.channel);
        require_response(
            made.response, take.id(),
            fmt::format("leave it out (ebbmark exclude {} {} --because \"no response\") and import "
                        "the recording with --sweep and what was played",
                        shell_word(job.path().string()), take.id()));
        return made;
    }
    // What lies in a job that keeps nothing cannot be replaced by what is made anew, so it counts for
    // nothing.
    if (job.keeps_results())
        if (const auto kept = current_result(job, file_name_of(take), made_from(take)))
            return from_response(*kept, 1);
    TakeResponse made = from_recording(job, take);
    if (job.keeps_results())
        write_result(job, file_name_of(take), bytes_of(made, take), made_from(take));
    return as_kept(std::move(made));
}

} // namespace

const TakeResponse& AnalysedJob::response_of(const Take& take) const {
    const auto known = responses_.find(take.id());
    return known != responses_.end() ? known->second
                                     : responses_.emplace(take.id(), read_or_made(*this, take)).first->second;
}

AnewResponses make_responses_anew(const AnalysedJob& job, const std::vector<std::string>& visits,
                                  Progress& progress) {
    const std::vector<Take> takes = recordings_of(job, visits);
    progress.show(fmt::format("responses from {} recordings", takes.size()));
    std::vector<TakeResponse> all(takes.size());
    std::vector<std::string> files(takes.size());
    std::vector<char> differs(takes.size(), 0);
    in_parallel(takes.size(), 0, [&](std::size_t i) {
        TakeResponse made = from_recording(job, takes[i]);
        files[i] = bytes_of(made, takes[i]);
        const auto kept = kept_as_current(job, file_name_of(takes[i]), made_from(takes[i]));
        differs[i] = kept && !is_same_response(*kept, made);
        all[i] = as_kept(std::move(made));
    });
    AnewResponses anew{takes.size(), {}};
    for (std::size_t i = 0; i < takes.size(); ++i) {
        if (differs[i])
            anew.differing.push_back(std::string(layout::results) + "/" + file_name_of(takes[i]));
        if (job.keeps_results())
            write_result(job, file_name_of(takes[i]), files[i], made_from(takes[i]));
        job.responses_.insert_or_assign(takes[i].id(), std::move(all[i]));
    }
    return anew;
}

std::string sentence_on(const AnewResponses& anew) {
    if (anew.differing.empty())
        return "";
    return fmt::format("{} kept in the job {} not what the recording gives, and {} not used: {}.",
                       anew.differing.size() == 1 ? "One response"
                                                  : fmt::format("{} responses", anew.differing.size()),
                       anew.differing.size() == 1 ? "was" : "were",
                       anew.differing.size() == 1 ? "was" : "were", fmt::join(anew.differing, ", "));
}

std::vector<PositionDecay> analyse_visit(const AnalysedJob& job, const std::string& visit,
                                         const DecayOptions& options, bool returns, Progress& progress) {
    if (!job.visits().contains(visit))
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: there is no visit \"{}\"; there are: {}", job.path().string(), visit,
                                fmt::join(visit_names(job), ", ")));
    const auto positions = job.takes_in_use(visit, returns);
    if (positions.empty() && !returns)
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: no take of visit {} can be used: all are rejected or excluded; "
                                "measure again",
                                job.path().string(), visit));
    std::vector<PositionDecay> analysed;
    for (const auto& [position, takes] : positions) {
        progress.show(analysed.size() + 1, positions.size(), fmt::format("{} {}", visit, position.name()));
        PositionDecay entry{position, {}, 0, {}, false};
        std::vector<ResponseDecay> decays;
        for (const Take& take : takes) {
            const TakeResponse& made = job.response_of(take);
            DecayOptions own = options;
            own.source_from_hz = made.source_from_hz;
            own.source_to_hz = made.source_to_hz;
            decays.push_back(analyse_decay(made.response, own));
            leave_out_near(decays.back(), made.hum_hz);
            leave_out_disturbed(decays.back(), made.disturbed_hz);
            entry.takes.push_back(take.name());
            entry.rate_hz = made.response.rate_hz;
        }
        entry.decay = mean_of_takes(decays);
        analysed.push_back(std::move(entry));
    }
    return analysed;
}

bool is_job(const std::string& word) {
    std::error_code ignored;
    return std::filesystem::exists(std::filesystem::path(word) / "job.toml", ignored);
}

} // namespace ebbmark
