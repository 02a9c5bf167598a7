// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/ringing_report.hpp"
#include "room/air.hpp"
#include "work/analysed_job.hpp"
#include "work/ringing_states.hpp"

#include <fmt/format.h>

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

/// The axes of --room; nothing without it.
std::optional<ExpectedRoom> asked_room(const Arguments& arguments) {
    if (!arguments.has("room"))
        return {};
    const auto edges = parse_box(arguments.text("room"));
    constexpr double shortest_m = 0.5, longest_m = 100; // as in job.toml
    for (const double edge_m : edges)
        if (edge_m < shortest_m || edge_m > longest_m)
            throw Error(ErrorKind::usage,
                        fmt::format("--room: an edge of {:g} m lies outside {:g} to {:g} m; "
                                    "correct the number or its unit",
                                    edge_m, shortest_m, longest_m));
    const double speed =
        speed_of_sound(Air{arguments.quantity("temperature", Dimension::temperature, -40, 60).value_or(20)});
    return ExpectedRoom{{speed / (2 * edges[0]), speed / (2 * edges[1]), speed / (2 * edges[2])}, {}, {}};
}

RingingStates states_of_files(const Arguments& arguments) {
    const auto channel = arguments.whole_number("channel", 1, 64);
    RingingStates states;
    states.before = read_responses(arguments.words(), channel);
    if (arguments.has("after"))
        states.after = read_responses(arguments.list("after"), channel);
    states.room = asked_room(arguments);
    return states;
}

RingingStates states_of_job(const Arguments& arguments) {
    if (arguments.words().size() > 1 || !arguments.has("visit"))
        throw Error(ErrorKind::usage, "with a job, ringing is called as: ebbmark ringing JOB --visit VISIT");
    const auto later = arguments.list("after");
    if (later.size() > 1 || (arguments.has("after") && later.empty()))
        throw Error(ErrorKind::usage, "with a job, --after takes one visit");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    return later.empty() ? ringing_states(job, arguments.text("visit"))
                         : ringing_states(job, arguments.text("visit"), later.front());
}

} // namespace

void declare_ringing(Options& options) {
    add_list(options, "after", "IR|V",
             "responses after the treatment, same positions, same order; with a job: a "
             "later visit");
    add_option(options, "visit", "V", "with a job: the visit");
    add_option(options, "room", "\"L x W x H m\"", "inner dimensions: names the modes where only one fits");
    add_option(options, "temperature", "\"T °C\"", "air temperature, for the names (20 °C)");
    add_option(options, "from", "HZ", "lowest frequency (20)");
    add_option(options, "to", "HZ", "highest frequency (200)");
    add_option(options, "channel", "N", "the channel of each file that holds the response, counted from 1");
    declare_picture(options);
    declare_output(options);
}

int run_ringing(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    const RingingOptions options = ringing_options(arguments);
    const RingingStates states =
        is_job(arguments.words()[0]) ? states_of_job(arguments) : states_of_files(arguments);
    const RingingReport report = ringing_report(states, options);
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return report.state.ringing.modes.empty() ? static_cast<int>(ErrorKind::rejected) : 0;
}

} // namespace ebbmark
