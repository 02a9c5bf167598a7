// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of one state of a room, or of two side by side.
#pragma once

#include "results/ringing_result.hpp"
#include "work/analysed_job.hpp"
#include "work/room_responses.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// What is measured and what is known of it.
struct RingingStates {
    RoomResponses before;
    std::optional<RoomResponses> after;
    std::optional<ExpectedRoom> room; ///< as of the first state
    PairingOptions pairing;
};

/// One visit of a job, at every position with a usable take; the room as job.toml has it.
RingingStates ringing_states(const AnalysedJob& job, const std::string& visit);

/// Two visits, at the positions that both have. Throws Error(unusable) where they share none.
RingingStates ringing_states(const AnalysedJob& job, const std::string& visit, const std::string& later);

RingingReport ringing_report(const RingingStates& states, const RingingOptions& options);

} // namespace ebbmark
