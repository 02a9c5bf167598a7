// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/device_option.hpp"

#include "base/error.hpp"
#include "base/shell_word.hpp"

namespace ebbmark {

void declare_device(Options& options) {
    add_option(options, "device", "NAME",
               "number or part of the name of a sound device, or virtual:ROOM.toml");
    add_option(options, "input", "NAME", "another device for recording");
    add_option(options, "output", "NAME", "another device for playing");
    add_option(options, "rate", "HZ", "sample rate, 44100 to 192000 (48000)");
    add_option(options, "channel", "N", "the microphone's channel (1)");
    add_option(options, "output-channel", "N", "the loudspeaker's channel (1)");
    add_option(options, "loopback", "N", "this input channel is the electrical loopback");
    add_option(options, "delay", "S", "seconds to leave the room before it plays (0)");
}

std::unique_ptr<SoundDevice> device_of(const Arguments& arguments) {
    DeviceChoice choice;
    const std::string both = arguments.has("device") ? arguments.text("device") : "";
    choice.output = arguments.has("output") ? arguments.text("output") : both;
    choice.input = arguments.has("input") ? arguments.text("input") : both;
    if (choice.output.empty() || choice.input.empty())
        throw Error(ErrorKind::usage,
                    "give --device NAME (ebbmark devices lists them), or both --input and --output");
    choice.rate_hz = arguments.quantity("rate", Dimension::frequency).value_or(choice.rate_hz);
    if (!(choice.rate_hz >= 44100 && choice.rate_hz <= 192000))
        throw Error(ErrorKind::usage, "--rate is 44100 to 192000 Hz");
    choice.loopback_channel = arguments.whole_number("loopback", 1, 64).value_or(0);
    choice.input_channel =
        arguments.whole_number("channel", 1, 64).value_or(choice.loopback_channel == 1 ? 2 : 1);
    choice.output_channel = arguments.whole_number("output-channel", 1, 64).value_or(1);
    if (choice.loopback_channel == choice.input_channel)
        throw Error(ErrorKind::usage, "--channel and --loopback name the same channel");
    return open_device(choice);
}

std::string level_command(const Arguments& arguments, const std::string& source) {
    std::string text =
        "ebbmark level " + shell_word(arguments.words().at(0)) + " --source " + shell_word(source);
    for (const char* option :
         {"device", "input", "output", "rate", "channel", "output-channel", "loopback", "delay"})
        if (arguments.has(option))
            text += std::string(" --") + option + " " + shell_word(arguments.text(option));
    return text;
}

} // namespace ebbmark
