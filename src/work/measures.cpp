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

/// Smoothed power at each position in both visits, where all their sources reached.
struct BassPowers {
    std::vector<double> hz; ///< fewer than two where they reached too little
    std::vector<std::vector<double>> before, after;
};

BassPowers bass_powers(const AnalysedJob& job, const SamePositions& visits) {
    std::vector<std::vector<const TakeResponse*>> before, after;
    Reach reach;
    for (const Position& position : visits.positions) {
        before.push_back(responses_at(job, visits.before, position));
        after.push_back(responses_at(job, visits.after, position));
        for (const auto* takes : {&before.back(), &after.back()})
            for (const TakeResponse* take : *takes)
                reach.include(*take);
    }
    BassPowers powers{bass_frequencies(reach.from_hz, reach.to_hz), {}, {}};
    if (powers.hz.size() < 2)
        return powers;
    for (std::size_t place = 0; place < before.size(); ++place) {
        powers.before.push_back(power_at(before[place], powers.hz));
        powers.after.push_back(power_at(after[place], powers.hz));
    }
    return powers;
}

} // namespace

std::optional<BassResponse> bass_response_of(const AnalysedJob& job, const SamePositions& visits,
                                             const std::vector<bool>& listening) {
    BassResponse bass;
    bass.listening = std::find(listening.begin(), listening.end(), true) != listening.end();
    SamePositions shown{visits.before, visits.after, {}};
    for (std::size_t i = 0; i < visits.positions.size(); ++i)
        if (!bass.listening || listening[i]) {
            shown.positions.push_back(visits.positions[i]);
            bass.positions.push_back(visits.positions[i].name());
        }
    const BassPowers powers = bass_powers(job, shown);
    if (powers.hz.size() < 2)
        return {};
    bass.change = bass_response_change(powers.hz, powers.before, powers.after);
    return bass;
}

std::vector<std::size_t> alike_places(const AnalysedJob& job, const SamePositions& visits) {
    const BassPowers powers = bass_powers(job, visits);
    if (powers.hz.size() < 2)
        return {};
    std::vector<std::size_t> number;
    bool any = false;
    for (std::size_t i = 0; i < visits.positions.size(); ++i) {
        number.push_back(i);
        for (std::size_t first = 0; first < i && number[i] == i; ++first)
            if (number[first] == first && alike_in_bass(powers.before[first], powers.before[i]) &&
                alike_in_bass(powers.after[first], powers.after[i]))
                number[i] = first;
        any = any || number[i] != i;
    }
    return any ? number : std::vector<std::size_t>();
}

ModesOfTwo modes_of(const AnalysedJob& job, const SamePositions& visits,
                    const VisitConditions& before_conditions, const VisitConditions& after_conditions) {
    PairingOptions options;
    options.speed_ratio = speed_ratio(before_conditions, after_conditions).value_or(1);
    return modes_of_two(visit_responses(job, visits.before, visits.positions),
                        visit_responses(job, visits.after, visits.positions), options);
}

} // namespace ebbmark
