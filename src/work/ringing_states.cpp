// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/ringing_states.hpp"

#include "base/error.hpp"
#include "job/visit_result.hpp"
#include "ringing/summary.hpp"
#include "room/air.hpp"
#include "verdict/mode_pairs.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

RingingOptions within(RingingOptions options, const RoomResponses& room) {
    options.source_from_hz = room.source_from_hz;
    options.source_to_hz = room.source_to_hz;
    return options;
}

RingingState state_of(const RoomResponses& room, Ringing ringing) {
    return {room.names, room.rate_hz, std::move(ringing), energy_left_db(room.responses)};
}

RingingStates first_state(const AnalysedJob& job, const std::string& visit,
                          const std::vector<Position>& positions) {
    RingingStates states;
    states.before = visit_responses(job, visit, positions);
    states.room = expected_room(job, visit, positions, job.visits().at(visit).temperature_c().value_or(20));
    return states;
}

} // namespace

RingingStates ringing_states(const AnalysedJob& job, const std::string& visit) {
    return first_state(job, visit, positions_of(job, visit));
}

RingingStates ringing_states(const AnalysedJob& job, const std::string& visit, const std::string& later) {
    auto positions = positions_of(job, visit);
    const auto others = positions_of(job, later);
    std::erase_if(positions, [&](const Position& position) {
        return std::find(others.begin(), others.end(), position) == others.end();
    });
    if (positions.empty())
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: visits {} and {} share no position; measure the same positions again",
                                job.path().string(), visit, later));
    RingingStates states = first_state(job, visit, positions);
    states.after = visit_responses(job, later, positions);
    const VisitProtocol &first = job.visits().at(visit), &second = job.visits().at(later);
    if (first.temperature_c() && second.temperature_c())
        states.pairing.speed_ratio = speed_of_sound(air_of(second)) / speed_of_sound(air_of(first));
    return states;
}

RingingReport ringing_report(const RingingStates& states, const RingingOptions& options) {
    RingingReport report;
    report.simulated = states.before.simulated || (states.after && states.after->simulated);
    report.from_hz = options.from_hz;
    report.to_hz = options.to_hz;
    ResampledRinging before, after;
    if (states.after) {
        before = resampled_ringing_of(states.before, within(options, states.before));
        after = resampled_ringing_of(*states.after, within(options, *states.after));
    } else {
        before.whole = ringing_of(states.before, within(options, states.before));
    }
    report.state = state_of(states.before, before.whole);
    if (states.room) {
        name_modes(report.state.ringing, *states.room);
        report.counts = count_modes(report.state.ringing, *states.room, options.from_hz, options.to_hz);
    }
    if (states.after) {
        report.after = state_of(*states.after, after.whole);
        if (states.room) {
            ExpectedRoom later = *states.room;
            for (double& hz : later.axis_hz)
                hz *= states.pairing.speed_ratio;
            name_modes(report.after->ringing, later);
        }
        report.pairs = pair_modes(before.whole, after.whole, states.pairing);
        report.changes =
            mode_pairs(before, after, report.pairs,
                       states.pairing.same_positions ? PairedPlaces::same : PairedPlaces::different);
    }
    return report;
}

} // namespace ebbmark
