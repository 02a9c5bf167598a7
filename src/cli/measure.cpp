// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/measure.hpp"

#include "base/error.hpp"
#include "cli/examine.hpp"
#include "cli/place_checks.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace ebbmark {

namespace {

/// A recording that did not come to its end, or in which the sweep is not to be found.
DeconvolveReport rejected(double rate_hz, QualityCheck check) {
    DeconvolveReport report;
    report.rate_hz = rate_hz;
    report.accepted = false;
    report.checks = {std::move(check)};
    return report;
}

DeconvolveReport report_of(const Recording& recording, const Sweep& sweep, const Position& position,
                           PlaceChecks& places, const Calibration& calibration) {
    const Signal& microphone = recording.channels[0];
    const Signal loopback = recording.channels.size() > 1 ? recording.channels[1] : Signal{};
    const double planned = static_cast<double>(whole_signal(sweep).size());
    const auto arrived = static_cast<double>(microphone.size());
    if (recording.ending != Ending::complete)
        return rejected(
            sweep.rate_hz,
            {"lost samples", planned - arrived, 0, "samples", false,
             recording.ending == Ending::failed ? recording.fault : "stopped by hand: repeat the take"});
    try {
        RecordingOptions options = places.options(position);
        options.stored_loopback = calibration.loopback;
        Examined examined = examine(microphone, loopback, excitation_of(sweep), position.name(), options);
        apply(calibration, examined.report);
        if (const auto check = places.mixed_up(position, examined.response))
            examined.report.checks.push_back(*check);
        return std::move(examined.report);
    } catch (const Error& error) {
        if (error.kind() == ErrorKind::bug)
            throw;
        return rejected(sweep.rate_hz, {"sweep found", 0, 1, "", false, error.what()});
    }
}

void add_messages(DeconvolveReport& report, const Recording& recording) {
    if (recording.messages.empty())
        return;
    const StreamMessage& first = recording.messages.front();
    report.notes.push_back(fmt::format(
        "The sound driver reported {} at {:.1f} s{}. It may be wrong either way: what counts is the check "
        "of the recording itself for lost samples.",
        first.text, static_cast<double>(first.at_sample) / report.rate_hz,
        recording.messages.size() == 1 ? "" : fmt::format(", and {} more", recording.messages.size() - 1)));
}

/// Where the job cannot keep it, perhaps another disk can.
std::string rescued(const std::string& bytes) {
    try {
        const auto path = std::filesystem::temp_directory_path() /
                          fmt::format("ebbmark-recording-{}.wav", sha256(bytes).substr(0, 12));
        write_whole(path, bytes, Overwrite::never);
        return fmt::format(" The recording was put into {}: make room and bring it in with ebbmark import.",
                           path.string());
    } catch (const Error&) {
        return " The recording could not be put elsewhere either and is lost: make room and repeat the take.";
    }
}

} // namespace

MeasuredTake measure_take(JobFolder& job, SoundDevice& device, const Sweep& sweep, const Situation& situation,
                          const Position& position, const Calibration& calibration, const Occasion& occasion,
                          const Watch& watch) {
    device.set_up(situation);
    const Recording recording = device.play_and_record(whole_signal(sweep), watch);
    if (recording.channels[0].size() == 0)
        throw Error(recording.ending == Ending::interrupted ? ErrorKind::interrupted : ErrorKind::device,
                    recording.fault.empty() ? "stopped before anything was recorded" : recording.fault);
    std::vector<std::vector<double>> channels;
    for (const Signal& channel : recording.channels)
        channels.push_back(channel.samples);
    NewSound sound;
    sound.original_name = "recording.wav";
    sound.bytes = wav_bytes(channels, device.rate_hz(), SampleFormat::pcm24, "", sound.original_name);
    sound.device = device.name();
    sound.simulated = device.simulated();
    sound.loopback_channel = recording.channels.size() > 1 ? 2 : 0;
    sound.sweep = sweep;

    MeasuredTake measured{{situation.visit, position.name(), "", {}}, recording.ending, recording.fault};
    DeconvolveReport& report = measured.kept.report;
    PlaceChecks places(job, situation.visit);
    report = report_of(recording, sweep, position, places, calibration);
    add_messages(report, recording);
    report.command = "take";
    report.simulated = sound.simulated;
    NewTake take;
    take.position = position.name();
    take.is_return = situation.is_return;
    take.accepted = report.accepted;
    take.checks = report.checks;
    sound.takes = {take};
    sound.calibrations = kept_with_takes(calibration);
    try {
        measured.kept.take = job.keep(situation.visit, sound, occasion).front();
    } catch (const Error& error) {
        throw Error(error.kind(), error.what() + rescued(sound.bytes));
    }
    return measured;
}

} // namespace ebbmark
