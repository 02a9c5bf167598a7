// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/bring_in.hpp"

#include "base/error.hpp"
#include "base/shell_word.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/response_comment.hpp"
#include "files/whole_file.hpp"
#include "work/examine.hpp"
#include "work/excitation_file.hpp"
#include "work/place_checks.hpp"
#include "work/recorded_parts.hpp"
#include "work/response_check.hpp"
#include "work/safe_recording.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace ebbmark {

namespace {

/// One take, before it is kept.
struct Brought {
    NewTake take;
    DeconvolveReport report;
    std::optional<TakeResponse> made; ///< of a recording
};

NewTake take_at(const BroughtIn& wanted, const std::string& position) {
    NewTake take;
    take.position = position;
    take.is_return = wanted.is_return;
    take.channel = wanted.channel.value_or(wanted.loopback_channel == 1 ? 2 : 1);
    return take;
}

/// How the excitation is kept with the take: its description, or else its sound.
void keep_excitation(NewSound& sound, const std::string& path) {
    sound.sweep = described_sweep(path);
    if (!sound.sweep)
        sound.excitation_bytes = read_whole(path, data_limit_bytes);
}

void add_mixed_up(Brought& brought, PlaceChecks& places, const Signal& response) {
    if (const auto check = places.mixed_up(parse_position(brought.take.position), response))
        brought.report.checks.push_back(*check);
}

/// One take for each position, in the order in which they are in the file.
std::vector<Brought> from_recording(const BroughtIn& wanted, PlaceChecks& places) {
    const Excitation excitation = read_excitation(*wanted.sweep, audio_header(wanted.file).rate_hz);
    const auto& positions = wanted.positions;
    const auto parts = recorded_parts(wanted.file, take_at(wanted, "").channel, excitation, positions.size());
    std::vector<Brought> all;
    for (std::size_t n = 0; n < positions.size(); ++n) {
        Brought brought{take_at(wanted, positions[n]), {}, {}};
        brought.take.segment = parts[n];
        const AudioFile file = read_part(wanted.file, parts[n]);
        RecordingOptions options = places.options(parse_position(positions[n]));
        options.first_s = parts[n] ? parts[n]->from_s : 0;
        options.stored_loopback = wanted.calibration.loopback;
        const Signal loopback =
            wanted.loopback_channel > 0 ? file.channel(wanted.loopback_channel) : Signal{};
        const std::string name = positions.size() > 1 ? wanted.file + ", " + positions[n] : wanted.file;
        Examined examined = examine(file.channel(brought.take.channel), loopback, excitation, name, options);
        brought.report = std::move(examined.report);
        add_mixed_up(brought, places, examined.made.response);
        brought.made = std::move(examined.made);
        all.push_back(std::move(brought));
    }
    return all;
}

/// A response made elsewhere is kept as it is; what it rests on is not known here.
Brought from_response(const AnalysedJob& job, const BroughtIn& wanted, NewSound& sound, PlaceChecks& places) {
    const std::string& position = wanted.positions.front();
    Brought brought{take_at(wanted, position), {}, {}};
    const AudioFile file = read_audio(wanted.file);
    const Signal response = file.channel(brought.take.channel);
    require_response(response, wanted.file,
                     fmt::format("say what was played: ebbmark import {} {} {} {} --sweep SWEEP.toml",
                                 shell_word(job.path().string()), wanted.visit, shell_word(wanted.file),
                                 position));
    const auto info = response_info(file.comment, file.name);
    sound.kind = SoundKind::response;
    sound.simulated = info && info->simulated;
    brought.report.rate_hz = file.rate_hz;
    brought.report.notes = {MadeElsewhere{}};
    add_mixed_up(brought, places, response);
    return brought;
}

void require_one_response(const BroughtIn& wanted) {
    if (wanted.positions.size() > 1)
        throw Error(ErrorKind::usage,
                    "several positions in one file need --sweep with what was played; an impulse response "
                    "belongs to one position");
    if (!wanted.calibration.loopback.samples.empty())
        throw Error(ErrorKind::usage,
                    "--stored-loopback belongs to a recording: give --sweep with what was played");
}

} // namespace

KeepReport bring_in(AnalysedJob& job, const BroughtIn& wanted, const Occasion& occasion) {
    NewSound sound;
    sound.original_name = std::filesystem::path(wanted.file).filename().string();
    sound.loopback_channel = wanted.loopback_channel;
    PlaceChecks places(job, wanted.visit);
    std::vector<Brought> all;
    if (wanted.sweep) {
        keep_excitation(sound, *wanted.sweep);
        sound.simulated = read_audio(wanted.file, AudioRange{0, 1}).comment == simulated_comment;
        all = from_recording(wanted, places);
    } else {
        require_one_response(wanted);
        all.push_back(from_response(job, wanted, sound, places));
    }
    const auto info = broadcast_info(wanted.file);
    for (Brought& brought : all) {
        apply(wanted.calibration, brought.report);
        brought.take.accepted = brought.report.accepted;
        brought.take.checks = brought.report.checks;
        if (info)
            brought.report.notes.push_back(*info);
        sound.takes.push_back(brought.take);
    }
    sound.recorded = info ? sentence(*info) : "";
    sound.calibrations = kept_with_takes(wanted.calibration);
    sound.bytes = read_whole(wanted.file, data_limit_bytes);
    const auto ids = job.keep(wanted.visit, sound, occasion);
    KeepReport report{"import", sound.simulated, {}};
    for (std::size_t n = 0; n < all.size(); ++n) {
        DeconvolveReport& one = all[n].report;
        one.command = "import";
        one.response = wanted.file;
        one.simulated = sound.simulated;
        if (all[n].made && one.accepted)
            job.keep_response(ids[n], std::move(*all[n].made));
        report.takes.push_back({wanted.visit, all[n].take.position, ids[n], one});
    }
    return report;
}

} // namespace ebbmark
