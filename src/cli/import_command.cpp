// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/examine.hpp"
#include "cli/excitation_option.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "files/sweep_file.hpp"
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "proof/job_reports.hpp"

#include <fmt/format.h>

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

DeconvolveReport recording_report(const AudioFile& file, int channel, const NewSound& sound,
                                  const std::string& sweep) {
    const Signal loopback = sound.loopback_channel > 0 ? file.channel(sound.loopback_channel) : Signal{};
    return examine(file.channel(channel), loopback, read_excitation(sweep, file.rate_hz), file.name).report;
}

/// A response made elsewhere is kept as it is; what it rests on is not known here.
DeconvolveReport response_report(const AudioFile& file, int channel) {
    file.channel(channel); // refuses a channel that is not there
    DeconvolveReport report;
    report.rate_hz = file.rate_hz;
    report.notes = {
        "An impulse response made elsewhere: its recording was not seen, so its quality was not checked."};
    return report;
}

} // namespace

void declare_import(Options& options) {
    add_option(options, "sweep", "S",
               "FILE is a recording of this sweep (.toml or sound); without: an impulse response");
    add_option(options, "channel", "N", "the microphone's channel (1)");
    add_option(options, "loopback", "N", "this channel is the electrical loopback");
    add_flag(options, "return", "the microphone was moved away and back: the visit's return");
    declare_output(options);
}

int run_import(const Arguments& arguments, Console& console) {
    const auto& words = arguments.words();
    const std::string visit = words.at(1), path = words.at(2);
    JobFolder job(words.at(0), Access::write);
    const AudioFile file = read_audio(path);
    NewSound sound;
    sound.bytes = read_whole(path, data_limit_bytes);
    sound.original_name = std::filesystem::path(path).filename().string();
    sound.loopback_channel = arguments.whole_number("loopback", 1, 64).value_or(0);
    NewTake take;
    take.position = words.at(3);
    take.is_return = arguments.flag("return");
    take.channel = arguments.whole_number("channel", 1, 64).value_or(sound.loopback_channel == 1 ? 2 : 1);

    KeptTake kept{visit, take.position, "", {}};
    if (arguments.has("sweep")) {
        keep_excitation(sound, arguments.text("sweep"));
        kept.report = recording_report(file, take.channel, sound, arguments.text("sweep"));
    } else {
        sound.kind = SoundKind::response;
        const auto info = response_info(file.comment, file.name);
        sound.simulated = info && info->simulated;
        kept.report = response_report(file, take.channel);
    }
    take.accepted = kept.report.accepted;
    take.checks = kept.report.checks;
    sound.takes = {take};
    kept.report.command = "import";
    kept.report.response = path;
    kept.report.simulated = sound.simulated;
    kept.take = job.keep(visit, sound, occasion_of(console)).front();
    emit_report(arguments, console, KeepReport{"import", sound.simulated, {kept}});
    return take.accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
