// SPDX-License-Identifier: GPL-3.0-or-later
// What a comparison of visits takes from the responses themselves: bass response and room modes.
#pragma once

#include "results/compared.hpp"
#include "verdict/mode_change.hpp"
#include "work/analysed_job.hpp"
#include "work/room_responses.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Two visits at the positions that both have.
struct SamePositions {
    std::string before, after; ///< visits
    std::vector<Position> positions;
};

/// At the listening places, where there are any; nothing where the sources reach too little of the bass.
std::optional<BassResponse> bass_response_of(const AnalysedJob& job, const SamePositions& visits,
                                             const std::vector<bool>& listening);

/// A number per position, the same for those that are alike in the bass in both visits
/// (verdict/bass_response); empty where none are, or the sources reach too little of the bass.
std::vector<std::size_t> alike_places(const AnalysedJob& job, const SamePositions& visits);

/// The room's modes from 20 to 200 Hz in both states, from the first take at every position. Where they
/// cannot be had, a note says why.
ModesOfTwo modes_of(const AnalysedJob& job, const SamePositions& visits,
                    const VisitConditions& before_conditions, const VisitConditions& after_conditions);

} // namespace ebbmark
