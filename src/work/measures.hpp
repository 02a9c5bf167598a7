// SPDX-License-Identifier: GPL-3.0-or-later
// What a comparison of visits takes from the responses themselves: bass response and room modes.
#pragma once

#include "results/compared.hpp"
#include "verdict/mode_change.hpp"
#include "work/analysed_job.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct PositionResponses {
    Position position;
    std::vector<TakeResponse> takes;      ///< at least one
    std::optional<TakeResponse> returned; ///< the first usable return
};

/// The responses of a visit at these positions, which it has.
std::vector<PositionResponses> responses_of(const AnalysedJob& job, const std::string& visit,
                                            const std::vector<Position>& positions);

/// At the listening places, where there are any; nothing where the sources reach too little of the bass.
std::optional<BassResponse> bass_response_of(const std::vector<PositionResponses>& before,
                                             const std::vector<PositionResponses>& after,
                                             const std::vector<bool>& listening);

/// The room's modes from 20 to 200 Hz in both states, from the first take at every position. Where they
/// cannot be had, a note says why.
std::vector<ModePair> mode_pairs(const std::vector<PositionResponses>& before,
                                 const std::vector<PositionResponses>& after,
                                 const VisitConditions& before_conditions,
                                 const VisitConditions& after_conditions, std::vector<std::string>& notes);

} // namespace ebbmark
