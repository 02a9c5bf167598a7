// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/deconvolve_report.hpp"
#include "work/deconvolved_file.hpp"

namespace ebbmark {

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
    const DeconvolvedFile made = deconvolve_file(
        {path, arguments.text("sweep"), arguments.whole_number("channel", 1, 64),
         arguments.whole_number("loopback", 1, 64),
         arguments.quantity("distance", Dimension::length, 0, 1000), read_calibration(arguments)},
        response);
    write_output(arguments, response, made.bytes);
    emit_report(arguments, console, made.report);
    return made.report.accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
