// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "base/shell_word.hpp"
#include "cli/calibration_option.hpp"
#include "cli/every_command.hpp"
#include "cli/excitation_option.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/response_comment.hpp"
#include "files/sweep_file.hpp"
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "proof/reports/deconvolve_report.hpp"
#include "proof/reports/job_reports.hpp"
#include "work/examine.hpp"
#include "work/place_checks.hpp"
#include "work/recorded_parts.hpp"
#include "work/response_check.hpp"
#include "work/safe_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace ebbmark {

namespace {

/// How the excitation is kept with the take: its description, or else its sound.
void keep_excitation(NewSound& sound, const std::string& path) {
    if (std::filesystem::path(path).extension() == ".toml")
        sound.sweep = read_sweep(path).sweep;
    else
        sound.excitation_bytes = read_whole(path, data_limit_bytes);
}

/// What a take is kept with.
struct Brought {
    NewTake take;
    DeconvolveReport report;
};

void add_mixed_up(Brought& brought, PlaceChecks& places, const Signal& response) {
    if (const auto check = places.mixed_up(parse_position(brought.take.position), response))
        brought.report.checks.push_back(*check);
}

/// One take for each position, in the order in which they are in the file.
std::vector<Brought> from_recording(const std::string& path, const std::string& sweep, const NewTake& common,
                                    int loopback_channel, const Signal& stored_loopback,
                                    const std::vector<std::string>& positions, PlaceChecks& places) {
    const double rate_hz = audio_header(path).rate_hz;
    const Excitation excitation = read_excitation(sweep, rate_hz);
    const auto parts = recorded_parts(path, common.channel, excitation, positions.size());
    std::vector<Brought> all;
    for (std::size_t n = 0; n < positions.size(); ++n) {
        Brought brought{common, {}};
        brought.take.position = positions[n];
        brought.take.segment = parts[n];
        const AudioFile file = read_audio(path, range_of(parts[n], rate_hz));
        RecordingOptions options = places.options(parse_position(positions[n]));
        options.first_s = parts[n] ? parts[n]->from_s : 0;
        options.stored_loopback = stored_loopback;
        const Signal loopback = loopback_channel > 0 ? file.channel(loopback_channel) : Signal{};
        const std::string name = positions.size() > 1 ? path + ", " + positions[n] : path;
        Examined examined = examine(file.channel(common.channel), loopback, excitation, name, options);
        brought.report = std::move(examined.report);
        add_mixed_up(brought, places, examined.response);
        all.push_back(std::move(brought));
    }
    return all;
}

/// A response made elsewhere is kept as it is; what it rests on is not known here.
Brought from_response(const std::string& path, const NewTake& common, const std::string& position,
                      NewSound& sound, PlaceChecks& places, const std::string& mend) {
    const AudioFile file = read_audio(path);
    require_response(file.channel(common.channel), path, mend);
    const auto info = response_info(file.comment, file.name);
    sound.kind = SoundKind::response;
    sound.simulated = info && info->simulated;
    Brought brought{common, {}};
    brought.take.position = position;
    brought.report.rate_hz = file.rate_hz;
    brought.report.notes = {
        "An impulse response made elsewhere: its recording was not seen, so its quality was not checked."};
    add_mixed_up(brought, places, file.channel(common.channel));
    return brought;
}

} // namespace

void declare_import(Options& options) {
    add_option(options, "sweep", "S",
               "FILE is a recording of this sweep (.toml or sound); without: an impulse response");
    add_option(options, "channel", "N", "the microphone's channel (1)");
    add_option(options, "loopback", "N", "this channel is the electrical loopback");
    add_flag(options, "return", "the microphone was moved away and back: the visit's return");
    declare_calibration(options);
    declare_output(options);
}

int run_import(const Arguments& arguments, Console& console) {
    const auto& words = arguments.words();
    const std::string visit = words.at(1), path = words.at(2);
    const std::vector<std::string> positions(words.begin() + 3, words.end());
    AnalysedJob job(words.at(0), Access::write);
    NewSound sound;
    sound.original_name = std::filesystem::path(path).filename().string();
    sound.loopback_channel = arguments.whole_number("loopback", 1, 64).value_or(0);
    NewTake common;
    common.is_return = arguments.flag("return");
    common.channel = arguments.whole_number("channel", 1, 64).value_or(sound.loopback_channel == 1 ? 2 : 1);
    PlaceChecks places(job, visit);
    const Calibration calibration = read_calibration(arguments);
    std::vector<Brought> all;
    if (arguments.has("sweep")) {
        keep_excitation(sound, arguments.text("sweep"));
        sound.simulated = read_audio(path, {0, 1}).comment == simulated_comment;
        all = from_recording(path, arguments.text("sweep"), common, sound.loopback_channel,
                             calibration.loopback, positions, places);
    } else if (positions.size() > 1) {
        throw Error(ErrorKind::usage,
                    "several positions in one file need --sweep with what was played; an impulse response "
                    "belongs to one position");
    } else if (arguments.has("stored-loopback")) {
        throw Error(ErrorKind::usage,
                    "--stored-loopback belongs to a recording: give --sweep with what was played");
    } else {
        all = {
            from_response(path, common, positions.front(), sound, places,
                          fmt::format("say what was played: ebbmark import {} {} {} {} --sweep SWEEP.toml",
                                      shell_word(words.at(0)), visit, shell_word(path), positions.front()))};
    }
    const auto info = broadcast_info(path);
    for (Brought& brought : all) {
        apply(calibration, brought.report);
        brought.take.accepted = brought.report.accepted;
        brought.take.checks = brought.report.checks;
        if (info)
            brought.report.notes.push_back(sentence(*info));
        sound.takes.push_back(brought.take);
    }
    sound.recorded = info ? sentence(*info) : "";
    sound.calibrations = kept_with_takes(calibration);
    sound.bytes = read_whole(path, data_limit_bytes);
    const auto ids = job.keep(visit, sound, occasion_of(console));
    KeepReport report{"import", sound.simulated, {}};
    for (std::size_t n = 0; n < all.size(); ++n) {
        DeconvolveReport& one = all[n].report;
        one.command = "import";
        one.response = path;
        one.simulated = sound.simulated;
        report.takes.push_back({visit, all[n].take.position, ids[n], one});
    }
    emit_report(arguments, console, report);
    const bool accepted =
        std::all_of(all.begin(), all.end(), [](const Brought& one) { return one.report.accepted; });
    return accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
