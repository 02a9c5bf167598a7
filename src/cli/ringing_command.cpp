// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/ringing_report.hpp"
#include "ringing/summary.hpp"
#include "room/air.hpp"
#include "verdict/mode_pairs.hpp"
#include "work/analysed_job.hpp"
#include "work/room_responses.hpp"

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

/// What is measured and what is known of it.
struct Task {
    RoomResponses before;
    std::optional<RoomResponses> after;
    std::optional<ExpectedRoom> room; ///< as of the first state
    PairingOptions pairing;
};

Task task_of_files(const Arguments& arguments) {
    const auto channel = arguments.whole_number("channel", 1, 64);
    Task task;
    task.before = read_responses(arguments.words(), channel);
    if (arguments.has("after"))
        task.after = read_responses(arguments.list("after"), channel);
    if (arguments.has("room")) {
        const auto edges = parse_box(arguments.text("room"));
        constexpr double shortest_m = 0.5, longest_m = 100; // as in job.toml
        for (const double edge_m : edges)
            if (edge_m < shortest_m || edge_m > longest_m)
                throw Error(ErrorKind::usage,
                            fmt::format("--room: an edge of {:g} m lies outside {:g} to {:g} m; "
                                        "correct the number or its unit",
                                        edge_m, shortest_m, longest_m));
        const double speed =
            speed_of_sound(arguments.quantity("temperature", Dimension::temperature, -40, 60).value_or(20));
        task.room =
            ExpectedRoom{{speed / (2 * edges[0]), speed / (2 * edges[1]), speed / (2 * edges[2])}, {}, {}};
    }
    return task;
}

Task task_of_job(const Arguments& arguments) {
    if (arguments.words().size() > 1 || !arguments.has("visit"))
        throw Error(ErrorKind::usage, "with a job, ringing is called as: ebbmark ringing JOB --visit VISIT");
    const AnalysedJob job(arguments.words()[0], Access::write_if_possible);
    const std::string visit = arguments.text("visit");
    auto positions = positions_of(job, visit);
    Task task;
    const auto celsius = job.visits().at(visit).temperature_c();
    if (arguments.has("after")) {
        const auto later_visits = arguments.list("after");
        if (later_visits.size() != 1)
            throw Error(ErrorKind::usage, "with a job, --after takes one visit");
        const auto later = positions_of(job, later_visits[0]);
        std::erase_if(positions, [&](const Position& position) {
            return std::find(later.begin(), later.end(), position) == later.end();
        });
        if (positions.empty())
            throw Error(
                ErrorKind::unusable,
                fmt::format("{}: visits {} and {} share no position; measure the same positions again",
                            job.path().string(), visit, later_visits[0]));
        task.after = visit_responses(job, later_visits[0], positions);
        const auto later_celsius = job.visits().at(later_visits[0]).temperature_c();
        if (celsius && later_celsius)
            task.pairing.speed_ratio = speed_of_sound(*later_celsius) / speed_of_sound(*celsius);
    }
    task.before = visit_responses(job, visit, positions);
    task.room = expected_room(job, visit, positions, celsius.value_or(20));
    return task;
}

RingingOptions within(RingingOptions options, const RoomResponses& room) {
    options.source_from_hz = room.source_from_hz;
    options.source_to_hz = room.source_to_hz;
    return options;
}

RingingState state_of(const RoomResponses& room, Ringing ringing) {
    return {room.names, room.rate_hz, std::move(ringing), energy_left_db(room.responses)};
}

RingingReport report_of(const Task& task, const RingingOptions& options) {
    RingingReport report;
    report.simulated = task.before.simulated || (task.after && task.after->simulated);
    report.from_hz = options.from_hz;
    report.to_hz = options.to_hz;
    ResampledRinging before, after;
    if (task.after) {
        before = resampled_ringing_of(task.before, within(options, task.before));
        after = resampled_ringing_of(*task.after, within(options, *task.after));
    } else {
        before.whole = ringing_of(task.before, within(options, task.before));
    }
    report.state = state_of(task.before, before.whole);
    if (task.room) {
        name_modes(report.state.ringing, *task.room);
        report.counts = count_modes(report.state.ringing, *task.room, options.from_hz, options.to_hz);
    }
    if (task.after) {
        report.after = state_of(*task.after, after.whole);
        if (task.room) {
            ExpectedRoom later = *task.room;
            for (double& hz : later.axis_hz)
                hz *= task.pairing.speed_ratio;
            name_modes(report.after->ringing, later);
        }
        report.pairs = pair_modes(before.whole, after.whole, task.pairing);
        report.changes = mode_pairs(before, after, report.pairs, task.pairing.same_positions);
    }
    return report;
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
    const Task task = is_job(arguments.words()[0]) ? task_of_job(arguments) : task_of_files(arguments);
    const RingingReport report = report_of(task, options);
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return report.state.ringing.modes.empty() ? static_cast<int>(ErrorKind::rejected) : 0;
}

} // namespace ebbmark
