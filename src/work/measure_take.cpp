// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/measure_take.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "work/examine.hpp"
#include "work/place_checks.hpp"
#include "work/safe_recording.hpp"

#include <algorithm>
#include <cmath>
#include <new>

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

/// What the recording gives, judged as the file holds it: what a comparison reads later.
struct Judged {
    DeconvolveReport report;
    std::optional<TakeResponse> made; ///< nothing where no response came of it
};

Judged judged(const Recording& recording, const AudioFile& sound, const Sweep& sweep,
              const Position& position, PlaceChecks& places, const Calibration& calibration) {
    const Signal microphone = sound.channel(1);
    const Signal loopback = sound.channels.size() > 1 ? sound.channel(2) : Signal{};
    const std::size_t missing = whole_signal(sweep).size() - microphone.size();
    if (recording.ending != Ending::complete)
        return {
            rejected(
                sweep.rate_hz,
                {CheckName::lost_samples, static_cast<double>(missing + recording.impossible_samples), 0,
                 "samples", CheckOutcome::rejected,
                 recording.ending == Ending::failed ? recording.fault : "stopped by hand: repeat the take",
                 "nothing of this take is used"}),
            {}};
    try {
        RecordingOptions options = places.options(position);
        options.stored_loopback = calibration.loopback;
        Examined examined = examine(microphone, loopback, excitation_of(sweep), position.name(), options);
        apply(calibration, examined.report);
        if (const auto check = places.mixed_up(position, examined.made.response))
            examined.report.checks.push_back(*check);
        return {std::move(examined.report), std::move(examined.made)};
    } catch (const Error& error) {
        if (error.kind() == ErrorKind::bug)
            throw;
        return {rejected(sweep.rate_hz, {CheckName::sweep_found, 0, 1, "", CheckOutcome::rejected,
                                         error.what(), "nothing of this take is used"}),
                {}};
    }
}

void add_messages(DeconvolveReport& report, const Recording& recording) {
    if (recording.messages.empty())
        return;
    const StreamMessage& first = recording.messages.front();
    report.notes.push_back(DriverReported{first.text, static_cast<double>(first.at_sample) / report.rate_hz,
                                          recording.messages.size() - 1});
}

std::string option_for(CalibrationKind kind) {
    switch (kind) {
    case CalibrationKind::microphone_curve:
        return "--curve";
    case CalibrationKind::calibrator:
        return "--calibrator";
    case CalibrationKind::loopback:
        break;
    }
    return "--stored-loopback";
}

/// What import must be told besides.
std::vector<std::string> import_options(const Recording& recording, bool is_return,
                                        const Calibration& calibration) {
    std::vector<std::string> words;
    if (recording.channels.size() > 1)
        words.insert(words.end(), {"--channel", "1", "--loopback", "2"});
    if (is_return)
        words.emplace_back("--return");
    for (const CalibrationSource& source : calibration.sources) {
        words.insert(words.end(), {option_for(source.kind), source.file});
        if (source.kind == CalibrationKind::calibrator)
            words.insert(words.end(),
                         {"--calibrator-level", calibration.calibrator_level_db > 100 ? "114" : "94"});
    }
    return words;
}

/// 24 bits, as converters have; floating point where a device went above full scale.
SampleFormat format_of(const std::vector<std::vector<double>>& channels) {
    for (const auto& channel : channels)
        if (std::any_of(channel.begin(), channel.end(), [](double x) { return std::abs(x) > 1; }))
            return SampleFormat::float32;
    return SampleFormat::pcm24;
}

} // namespace

MeasuredTake measure_take(AnalysedJob& job, SoundDevice& device, const Sweep& sweep,
                          const Situation& situation, const Position& position,
                          const Calibration& calibration, const Occasion& occasion, const Watch& watch) {
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
    const auto wav = [&](std::string_view comment) {
        return wav_bytes(channels, device.rate_hz(), format_of(channels), comment, sound.original_name);
    };
    // On the disk before it is examined: whatever happens from here on, it can be brought in.
    const SafeRecording safe({wav(device.simulated() ? simulated_comment : ""), sweep, job.path().string(),
                              situation.visit, position.name(),
                              import_options(recording, situation.is_return, calibration)});
    sound.bytes = wav("");
    sound.device = device.name();
    sound.simulated = device.simulated();
    sound.loopback_channel = recording.channels.size() > 1 ? 2 : 0;
    sound.sweep = sweep;

    MeasuredTake measured{{situation.visit, position.name(), "", {}}, recording.ending, recording.fault};
    DeconvolveReport& report = measured.kept.report;
    try {
        PlaceChecks places(job, situation.visit);
        Judged found = judged(recording, audio_of(sound.bytes, sound.original_name), sweep, position, places,
                              calibration);
        report = std::move(found.report);
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
        measured.kept.take = job.keep(situation.visit, sound, occasion).front();
        if (found.made && report.accepted)
            job.keep_response(measured.kept.take, std::move(*found.made));
    } catch (const Error& error) {
        throw Error(error.kind(), error.what() + std::string(".") + safe.sentence());
    } catch (const std::bad_alloc&) {
        throw Error(ErrorKind::unusable,
                    "not enough memory to examine the recording: use a shorter sweep." + safe.sentence());
    }
    safe.drop();
    return measured;
}

} // namespace ebbmark
