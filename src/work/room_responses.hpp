// SPDX-License-Identifier: GPL-3.0-or-later
// The responses of one state of a room, one per position, for what needs all of them together.
#pragma once

#include "results/notes.hpp"
#include "ringing/leave_outs.hpp"
#include "ringing/naming.hpp"
#include "ringing/pairing.hpp"
#include "verdict/mode_change.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct RoomResponses {
    bool simulated = false;
    std::vector<std::string> names; ///< files, or takes
    std::vector<Signal> responses;
    double rate_hz = 0;
    double source_from_hz = 0; ///< what every excitation reached
    double source_to_hz = 1e9;
    std::vector<double> hum_hz = {}; ///< lines that may be left in any of them
    std::vector<ReturnedResponse> returns = {};
};

/// One channel of each file: `channel`, or the only one.
RoomResponses read_responses(const std::vector<std::string>& paths, std::optional<int> channel);

/// Every channel of each file, or only `channel`: the order in which a comparison pairs them.
RoomResponses read_every_channel(const std::vector<std::string>& paths, std::optional<int> channel);

/// The first usable take of each of these positions of a visit.
RoomResponses visit_responses(const AnalysedJob& job, const std::string& visit,
                              const std::vector<Position>& positions);

/// All positions of the visit with a usable take. Throws Error(unusable) where there is none.
std::vector<Position> positions_of(const JobFolder& job, const std::string& visit);

/// Where loudspeaker and microphone stood: as job.toml has it, and where it has the place no longer, as it
/// had it when the visit's take there was kept.
std::vector<std::pair<Point, Point>> places_of(const JobFolder& job, const std::string& visit,
                                               const std::vector<Position>& positions);

/// The job's room, and these positions of a visit, as naming needs them; nothing where the room is no box.
/// `celsius` is the air's.
std::optional<ExpectedRoom> expected_room(const JobFolder& job, const std::string& visit,
                                          const std::vector<Position>& positions, double celsius);

/// Without modes next to hum.
Ringing ringing_of(const RoomResponses& room, const RingingOptions& options);
ResampledRinging resampled_ringing_of(const RoomResponses& room, const RingingOptions& options);

/// The modes of two states, 20 to 200 Hz, for a comparison; where they cannot be measured a note says why.
struct ModesOfTwo {
    std::vector<ModePair> pairs;
    std::vector<Note> notes;
};
ModesOfTwo modes_of_two(const RoomResponses& before, const RoomResponses& after,
                        const PairingOptions& options);

} // namespace ebbmark
