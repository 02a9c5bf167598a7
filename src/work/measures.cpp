// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/measures.hpp"

#include "verdict/conditions.hpp"

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

/// Every usable take of a visit at one position.
std::vector<const TakeResponse*> responses_at(const AnalysedJob& job, const std::string& visit,
                                              const Position& position) {
    std::vector<const TakeResponse*> responses;
    const auto usable = job.takes_in_use(visit);
    for (const Take& take : usable.at(position))
        responses.push_back(&job.response_of(take));
    return responses;
}

/// Sum over a position's takes of the smoothed power, each take with a mean of 1.
std::vector<double> power_at(const std::vector<const TakeResponse*>& takes, const std::vector<double>& hz) {
    std::vector<double> sum(hz.size(), 0);
    for (const TakeResponse* take : takes) {
        const auto power = bass_power(take->response, hz);
        const double mean = sample_mean(power);
        for (std::size_t i = 0; i < hz.size(); ++i)
            sum[i] += mean > 0 ? power[i] / mean : 0;
    }
    return sum;
}

} // namespace

std::optional<BassResponse> bass_response_of(const AnalysedJob& job, const SamePositions& visits,
                                             const std::vector<bool>& listening) {
    BassResponse bass;
    bass.listening = std::find(listening.begin(), listening.end(), true) != listening.end();
    std::vector<std::vector<const TakeResponse*>> before, after;
    Reach reach;
    for (std::size_t i = 0; i < visits.positions.size(); ++i) {
        if (bass.listening && !listening[i])
            continue;
        bass.positions.push_back(visits.positions[i].name());
        before.push_back(responses_at(job, visits.before, visits.positions[i]));
        after.push_back(responses_at(job, visits.after, visits.positions[i]));
        for (const auto* takes : {&before.back(), &after.back()})
            for (const TakeResponse* take : *takes)
                reach.include(*take);
    }
    const auto hz = bass_frequencies(reach.from_hz, reach.to_hz);
    if (hz.size() < 2)
        return {};
    std::vector<std::vector<double>> first, second;
    for (std::size_t place = 0; place < before.size(); ++place) {
        first.push_back(power_at(before[place], hz));
        second.push_back(power_at(after[place], hz));
    }
    bass.change = bass_response_change(hz, first, second);
    return bass;
}

ModesOfTwo modes_of(const AnalysedJob& job, const SamePositions& visits,
                    const VisitConditions& before_conditions, const VisitConditions& after_conditions) {
    PairingOptions options;
    options.speed_ratio = speed_ratio(before_conditions, after_conditions).value_or(1);
    return modes_of_two(visit_responses(job, visits.before, visits.positions),
                        visit_responses(job, visits.after, visits.positions), options);
}

} // namespace ebbmark
