// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/measure.hpp"

#include "cli/examine.hpp"
#include "files/audio_file.hpp"

namespace ebbmark {

KeptTake measure_take(JobFolder& job, SoundDevice& device, const Sweep& sweep, const Situation& situation,
                      const Position& position, const Occasion& occasion) {
    device.set_up(situation);
    const Recording recording = device.play_and_record(whole_signal(sweep));
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
    const Signal loopback = sound.loopback_channel > 0 ? recording.channels[1] : Signal{};

    KeptTake kept{situation.visit, position.name(), "", {}};
    kept.report = examine(recording.channels[0], loopback, excitation_of(sweep), position.name()).report;
    kept.report.command = "take";
    kept.report.simulated = sound.simulated;
    NewTake take;
    take.position = position.name();
    take.is_return = situation.is_return;
    take.accepted = kept.report.accepted;
    take.checks = kept.report.checks;
    sound.takes = {take};
    kept.take = job.keep(situation.visit, sound, occasion).front();
    return kept;
}

} // namespace ebbmark
