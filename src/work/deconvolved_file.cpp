// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/deconvolved_file.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/response_comment.hpp"
#include "work/examine.hpp"
#include "work/excitation_file.hpp"
#include "work/recorded_parts.hpp"

namespace ebbmark {

namespace {

int microphone_channel(const RecordedFile& recorded) {
    const int channel = recorded.channel.value_or(recorded.loopback_channel == 1 ? 2 : 1);
    if (recorded.loopback_channel == channel)
        throw Error(ErrorKind::usage,
                    "--loopback and --channel name the same channel; the loopback is the electrical "
                    "return, the other one the microphone");
    return channel;
}

} // namespace

DeconvolvedFile deconvolve_file(const RecordedFile& recorded, const std::string& response) {
    const std::string& path = recorded.path;
    const int channel = microphone_channel(recorded);
    const Excitation excitation = read_excitation(recorded.sweep, audio_header(path).rate_hz);
    const auto part = recorded_parts(path, channel, excitation, 1).front();
    const AudioFile file = read_part(path, part);
    const Signal loopback = recorded.loopback_channel ? file.channel(*recorded.loopback_channel) : Signal{};
    RecordingOptions options;
    options.stored_loopback = recorded.calibration.loopback;
    options.first_s = part ? part->from_s : 0;
    options.distance_m = recorded.distance_m;

    Examined examined = examine(file.channel(channel), loopback, excitation, path, options);
    examined.report.response = response;
    apply(recorded.calibration, examined.report);
    if (const auto info = broadcast_info(path))
        examined.report.notes.push_back(*info);
    const TakeResponse& made = examined.made;
    const ResponseInfo info{made.source_from_hz, made.source_to_hz, false, made.hum_hz, {},
                            made.disturbed_hz};
    return {std::move(examined.report), wav_bytes({made.response.samples}, file.rate_hz,
                                                  SampleFormat::float32, to_comment(info), response)};
}

} // namespace ebbmark
