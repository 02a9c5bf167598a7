// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/every_command.hpp"
#include "cli/excitation_option.hpp"
#include "cli/output.hpp"
#include "files/audio_file.hpp"
#include "files/broadcast_info.hpp"
#include "files/response_comment.hpp"
#include "proof/reports/deconvolve_report.hpp"
#include "work/examine.hpp"
#include "work/recorded_parts.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

/// The microphone's channel: that of --channel, else the first that is not the loopback.
int microphone_channel(const Arguments& arguments, std::optional<int> loopback) {
    const int channel = arguments.whole_number("channel", 1, 64).value_or(loopback == 1 ? 2 : 1);
    if (loopback == channel)
        throw Error(ErrorKind::usage,
                    "--loopback and --channel name the same channel; the loopback is the electrical "
                    "return, the other one the microphone");
    return channel;
}

} // namespace

void declare_deconvolve(Options& options) {
    add_option(options, "sweep", "S", "what was played: its description (.toml) or the sound itself");
    add_option(options, "response", "IR.wav", "where the impulse response goes");
    add_option(options, "loopback", "N", "this channel of the recording is the electrical loopback");
    add_option(options, "channel", "N", "the microphone's channel (the first that is no loopback)");
    add_option(options, "distance", "LENGTH", "from loudspeaker to microphone; checked with --loopback");
    declare_calibration(options);
    declare_output(options);
}

int run_deconvolve(const Arguments& arguments, Console& console) {
    const std::string path = arguments.words().at(0);
    if (!arguments.has("sweep") || !arguments.has("response"))
        throw Error(ErrorKind::usage,
                    "deconvolve needs --sweep with what was played and --response with the file to write");
    const std::string response = arguments.text("response");
    extension_of(response, {".wav"}, "response");
    require_free(arguments, response);
    const auto loopback_channel = arguments.whole_number("loopback", 1, 64);
    const int channel = microphone_channel(arguments, loopback_channel);
    const double rate_hz = audio_header(path).rate_hz;
    const Excitation excitation = read_excitation(arguments.text("sweep"), rate_hz);
    const auto part = recorded_parts(path, channel, excitation, 1).front();
    const AudioFile file = read_audio(path, range_of(part, rate_hz));
    const Signal loopback = loopback_channel ? file.channel(*loopback_channel) : Signal{};
    const Calibration calibration = read_calibration(arguments);
    RecordingOptions options;
    options.stored_loopback = calibration.loopback;
    options.first_s = part ? part->from_s : 0;
    options.distance_m = arguments.quantity("distance", Dimension::length, 0, 1000);

    Examined examined = examine(file.channel(channel), loopback, excitation, path, options);
    examined.report.response = response;
    apply(calibration, examined.report);
    if (const auto info = broadcast_info(path))
        examined.report.notes.push_back(sentence(*info));
    const ResponseInfo info{excitation.from_hz,   excitation.to_hz, false, examined.hum_hz, {},
                            examined.disturbed_hz};
    write_output(arguments, response,
                 wav_bytes({examined.response.samples}, file.rate_hz, SampleFormat::float32, to_comment(info),
                           response));
    emit_report(arguments, console, examined.report);
    return examined.report.accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
