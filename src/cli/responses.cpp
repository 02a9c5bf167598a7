// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/responses.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

namespace ebbmark {

DecayOptions decay_options(const Arguments& arguments) {
    DecayOptions options;
    options.width =
        arguments.choice("bands", {"third", "octave"}) == "octave" ? BandWidth::octave : BandWidth::third;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    if (!(options.from_hz > 0 && options.to_hz >= options.from_hz))
        throw Error(ErrorKind::usage,
                    fmt::format("--from {:g} --to {:g}: give two frequencies above 0, the lower first",
                                options.from_hz, options.to_hz));
    return options;
}

void declare_analysis(Options& options) {
    add_option(options, "bands", "third|octave", "width of the bands (third)");
    add_option(options, "from", "HZ", "lowest band, such as 40 or \"40 Hz\" (20)");
    add_option(options, "to", "HZ", "highest band (10000, and at most 0.4 of the sample rate)");
    add_option(options, "channel", "N", "only this channel of each file, counted from 1 (all)");
}

std::optional<int> channel_of(const Arguments& arguments) {
    return arguments.whole_number("channel", 1, 64);
}

} // namespace ebbmark
