// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "proof/ringing_report.hpp"
#include "ringing/naming.hpp"
#include "room/air.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

RingingOptions ringing_options(const Arguments& arguments) {
    RingingOptions options;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    constexpr double lowest = 10, highest = 500;
    if (!(options.from_hz >= lowest && options.to_hz >= options.from_hz + 10 && options.to_hz <= highest))
        throw Error(
            ErrorKind::usage,
            fmt::format(
                "--from {:g} --to {:g}: give two frequencies between {:g} and {:g} Hz, at least 10 Hz "
                "apart, the lower first",
                options.from_hz, options.to_hz, lowest, highest));
    return options;
}

Signal response_in(const AudioFile& file, std::optional<int> channel) {
    if (!channel && file.channels.size() > 1)
        throw Error(ErrorKind::usage,
                    fmt::format("{} has {} channels; say which one is the response with --channel", file.name,
                                file.channels.size()));
    return file.channel(channel.value_or(1));
}

ExpectedRoom expected_room(const Arguments& arguments) {
    const auto edges = parse_box(arguments.text("room"));
    const double speed =
        speed_of_sound(arguments.quantity("temperature", Dimension::temperature).value_or(20));
    return {{speed / (2 * edges[0]), speed / (2 * edges[1]), speed / (2 * edges[2])}, {}};
}

} // namespace

void declare_ringing(Options& options) {
    add_option(options, "room", "\"L x W x H m\"", "inner dimensions: names the modes where only one fits");
    add_option(options, "temperature", "\"T °C\"", "air temperature, for the names (20 °C)");
    add_option(options, "from", "HZ", "lowest frequency (20)");
    add_option(options, "to", "HZ", "highest frequency (200)");
    add_option(options, "channel", "N", "the channel of each file that holds the response, counted from 1");
    declare_output(options);
}

int run_ringing(const Arguments& arguments, Console& console) {
    RingingOptions options = ringing_options(arguments);
    const auto channel = arguments.whole_number("channel", 1, 64);
    RingingReport report;
    std::vector<Signal> responses;
    for (const std::string& path : arguments.words()) {
        const AudioFile file = read_audio(path);
        if (const auto info = response_info(file.comment, file.name)) {
            options.source_from_hz = std::max(options.source_from_hz, info->source_from_hz);
            options.source_to_hz = std::min(options.source_to_hz, info->source_to_hz);
            report.simulated = report.simulated || info->simulated;
        }
        responses.push_back(response_in(file, channel));
        report.files.push_back(path);
        report.rate_hz = file.rate_hz;
    }
    report.ringing = measure_ringing(responses, options);
    if (arguments.has("room"))
        name_modes(report.ringing, expected_room(arguments));
    emit_report(arguments, console, report);
    return report.ringing.modes.empty() ? static_cast<int>(ErrorKind::rejected) : 0;
}

} // namespace ebbmark
