// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/measures.hpp"

#include "room/air.hpp"
#include "work/room_responses.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

/// What all sources reached.
struct Reach {
    double from_hz = 0, to_hz = 1e9;

    void include(const TakeResponse& take) {
        from_hz = std::max(from_hz, take.source_from_hz);
        to_hz = std::min({to_hz, take.source_to_hz, take.response.rate_hz / 2});
    }
};

/// Sum over a position's takes of the smoothed power, each take with a mean of 1.
std::vector<double> power_at(const PositionResponses& place, const std::vector<double>& hz) {
    std::vector<double> sum(hz.size(), 0);
    for (const TakeResponse& take : place.takes) {
        const auto power = bass_power(take.response, hz);
        const double mean = sample_mean(power);
        for (std::size_t i = 0; i < hz.size(); ++i)
            sum[i] += mean > 0 ? power[i] / mean : 0;
    }
    return sum;
}

RoomResponses room_of(const std::vector<PositionResponses>& visit) {
    RoomResponses room;
    Reach reach;
    for (const PositionResponses& place : visit) {
        room.names.push_back(place.position.name());
        room.responses.push_back(place.takes.front().response);
        if (place.returned)
            room.returns.push_back({room.responses.size() - 1, place.returned->response});
        reach.include(place.takes.front());
        const auto& hum_hz = place.takes.front().hum_hz;
        room.hum_hz.insert(room.hum_hz.end(), hum_hz.begin(), hum_hz.end());
    }
    room.source_from_hz = reach.from_hz;
    room.source_to_hz = reach.to_hz;
    return room;
}

} // namespace

std::vector<PositionResponses> responses_of(const AnalysedJob& job, const std::string& visit,
                                            const std::vector<Position>& positions) {
    std::vector<PositionResponses> all;
    const auto takes = job.takes_in_use(visit), returned = job.takes_in_use(visit, true);
    for (const Position& position : positions) {
        all.push_back({position, {}, {}});
        if (const auto again = returned.find(position); again != returned.end())
            all.back().returned = job.response_of(again->second.front());
        for (const Take& take : takes.at(position))
            all.back().takes.push_back(job.response_of(take));
    }
    return all;
}

std::optional<BassResponse> bass_response_of(const std::vector<PositionResponses>& before,
                                             const std::vector<PositionResponses>& after,
                                             const std::vector<bool>& listening) {
    BassResponse bass;
    bass.listening = std::find(listening.begin(), listening.end(), true) != listening.end();
    std::vector<std::size_t> places;
    Reach reach;
    for (std::size_t i = 0; i < before.size(); ++i) {
        if (bass.listening && !listening[i])
            continue;
        places.push_back(i);
        bass.positions.push_back(before[i].position.name());
        for (const auto* place : {&before[i], &after[i]})
            for (const TakeResponse& take : place->takes)
                reach.include(take);
    }
    const auto hz = bass_frequencies(reach.from_hz, reach.to_hz);
    if (hz.size() < 2)
        return {};
    std::vector<std::vector<double>> first, second;
    for (const std::size_t place : places) {
        first.push_back(power_at(before[place], hz));
        second.push_back(power_at(after[place], hz));
    }
    bass.change = bass_response_change(hz, first, second);
    return bass;
}

std::vector<ModePair> mode_pairs(const std::vector<PositionResponses>& before,
                                 const std::vector<PositionResponses>& after,
                                 const VisitConditions& before_conditions,
                                 const VisitConditions& after_conditions, std::vector<std::string>& notes) {
    PairingOptions options;
    if (before_conditions.celsius && after_conditions.celsius)
        options.speed_ratio =
            speed_of_sound(*after_conditions.celsius) / speed_of_sound(*before_conditions.celsius);
    ModesOfTwo modes = modes_of_two(room_of(before), room_of(after), options);
    notes.insert(notes.end(), modes.notes.begin(), modes.notes.end());
    return modes.pairs;
}

} // namespace ebbmark
