// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/analysed_job.hpp"

#include "base/error.hpp"
#include "base/in_parallel.hpp"
#include "base/shell_word.hpp"
#include "decay/takes.hpp"
#include "files/audio_file.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"
#include "job/results.hpp"
#include "work/hum_bands.hpp"
#include "work/response_check.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace ebbmark {

namespace {

std::vector<std::string> visit_names(const JobFolder& job) {
    std::vector<std::string> names;
    for (const auto& [name, protocol] : job.visits())
        names.push_back(name);
    return names;
}

MadeFrom made_from(const Take& take) {
    return {digest_of(take), std::string(version)};
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

/// The kept response of a take, where it is there, whole, current and says all that is asked of it.
std::optional<TakeResponse> kept_response(const JobFolder& job, const Take& take) {
    const std::string name = response_file_name(take);
    auto bytes = current_result(job, name, made_from(take));
    if (!bytes)
        return {};
    TakeResponse kept = response_in(audio_of(std::move(*bytes), name), 1);
    return kept.heard ? std::optional(std::move(kept)) : std::nullopt;
}

TakeResponse read_or_made(const JobFolder& job, const Take& take) {
    if (take.kind == SoundKind::response) {
        TakeResponse made =
            response_in(audio_of(job.sound_bytes(take), (job.path() / take.sound).string()), take.channel);
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
        if (auto kept = kept_response(job, take))
            return std::move(*kept);
    TakeResponse made = response_from_recording(job, take);
    if (job.keeps_results())
        write_result(job, response_file_name(take), response_bytes(made, take), made_from(take));
    return as_kept(std::move(made));
}

/// Whether a file that says that it was made from this take differs from what the recording gives.
bool is_forged(const JobFolder& job, const Take& take, const TakeResponse& made) {
    const auto kept = kept_as_current(job, response_file_name(take), made_from(take));
    if (!kept)
        return false;
    try {
        return !is_same_response(
            response_in(audio_of(read_whole(*kept, data_limit_bytes), kept->string()), 1), made);
    } catch (const Error&) {
        return true; // damaged
    }
}

} // namespace

const TakeResponse& AnalysedJob::response_of(const Take& take) const {
    const auto known = responses_.find(take.id());
    return known != responses_.end() ? known->second
                                     : responses_.emplace(take.id(), read_or_made(*this, take)).first->second;
}

void AnalysedJob::keep_response(const std::string& id, TakeResponse made) const {
    const Take& kept = take(id);
    if (keeps_results())
        write_result(*this, response_file_name(kept), response_bytes(made, kept), made_from(kept));
    responses_.insert_or_assign(id, as_kept(std::move(made)));
}

AnewResponses make_responses_anew(const AnalysedJob& job, const std::vector<std::string>& visits,
                                  Progress& progress) {
    const std::vector<Take> takes = recordings_of(job, visits);
    progress.show(fmt::format("responses from {} recordings", takes.size()));
    std::vector<TakeResponse> all(takes.size());
    std::vector<std::string> files(takes.size());
    std::vector<char> differs(takes.size(), 0);
    in_parallel(takes.size(), 0, [&](std::size_t i) {
        TakeResponse made = response_from_recording(job, takes[i]);
        files[i] = response_bytes(made, takes[i]);
        differs[i] = is_forged(job, takes[i], made);
        all[i] = as_kept(std::move(made));
    });
    std::vector<std::string> differing;
    for (std::size_t i = 0; i < takes.size(); ++i) {
        if (differs[i])
            differing.push_back(std::string(layout::results) + "/" + response_file_name(takes[i]));
        if (job.keeps_results())
            write_result(job, response_file_name(takes[i]), files[i], made_from(takes[i]));
        job.responses_.insert_or_assign(takes[i].id(), std::move(all[i]));
    }
    if (differing.empty())
        return {takes.size(), {}};
    return {takes.size(), KeptResponsesDiffer{std::move(differing)}};
}

std::vector<PositionDecay> analyse_visit(const AnalysedJob& job, const std::string& visit,
                                         const DecayOptions& options, TakeSet set, Progress& progress) {
    if (!job.visits().contains(visit))
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: there is no visit \"{}\"; there are: {}", job.path().string(), visit,
                                fmt::join(visit_names(job), ", ")));
    const auto positions = job.takes_in_use(visit, set);
    if (positions.empty() && set == TakeSet::positions)
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
