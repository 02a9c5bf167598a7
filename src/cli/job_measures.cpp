// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job_measures.hpp"

#include "base/error.hpp"
#include "ringing/pairing.hpp"
#include "room/air.hpp"

#include <fmt/format.h>

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

Ringing ringing_of(const std::vector<PositionResponses>& visit) {
    RingingOptions options;
    std::vector<Signal> responses;
    Reach reach;
    for (const PositionResponses& place : visit) {
        responses.push_back(place.takes.front().response);
        reach.include(place.takes.front());
    }
    options.source_from_hz = reach.from_hz;
    options.source_to_hz = reach.to_hz;
    return measure_ringing(responses, options);
}

ModePair mode_pair(const PairedMode& pair, const Ringing& before, const Ringing& after) {
    const MeasuredMode& first = before.modes[*pair.before];
    ModePair mode;
    mode.before_hz = *first.hz;
    mode.before_t60_s = first.t60_s;
    mode.pairing = pair.assurance;
    mode.after_t60_at_most_s = pair.after_at_most_s;
    mode.after_t60_s = Measured::none(Empty::overlap);
    if (pair.after) {
        mode.after_hz = *after.modes[*pair.after].hz;
        mode.after_t60_s = after.modes[*pair.after].t60_s;
    }
    return mode;
}

} // namespace

std::vector<PositionResponses> responses_of(const JobFolder& job, const std::string& visit,
                                            const std::vector<Position>& positions) {
    std::vector<PositionResponses> all;
    const auto takes = job.takes_in_use(visit);
    for (const Position& position : positions) {
        all.push_back({position, {}});
        for (const Take& take : takes.at(position))
            all.back().takes.push_back(response_of(job, take));
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
    try {
        const Ringing first = ringing_of(before), second = ringing_of(after);
        std::vector<ModePair> modes;
        int only_after = 0;
        for (const PairedMode& pair : pair_modes(first, second, options)) {
            if (pair.before)
                modes.push_back(mode_pair(pair, first, second));
            else
                ++only_after;
        }
        if (only_after > 0)
            notes.push_back(fmt::format("{} {} told apart after only, without a partner before; no change is "
                                        "given for {}.",
                                        only_after, only_after == 1 ? "mode can be" : "modes can be",
                                        only_after == 1 ? "it" : "them"));
        return modes;
    } catch (const Error& error) {
        notes.push_back(fmt::format("The room's modes were not compared: {}.", error.what()));
        return {};
    }
}

} // namespace ebbmark
