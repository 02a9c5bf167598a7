// SPDX-License-Identifier: GPL-3.0-or-later
// What one visit says of the room: means over the positions, the listening places apart, the room's
// absorption, targets and the grade of the set-up. Pure.
#pragma once

#include "decay/average.hpp"
#include "decay/targets.hpp"
#include "job/description.hpp"
#include "job/names.hpp"
#include "job/notes.hpp"
#include "job/visit.hpp"
#include "room/setup.hpp"
#include "room/statement.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// One position of a visit: all its takes in use, averaged.
struct MeasuredPosition {
    Position position;
    std::vector<std::string> takes; ///< their names
    double rate_hz = 0;
    ResponseDecay decay;
    bool listening = false; ///< set by visit_result() from the job's description
};

/// Several positions in one band.
struct BandMean {
    BandAverage average;
    /// Arithmetic means of every quantity over the positions that have it; T20 and T30 with the average's
    /// intervals, the others without. Decay range: the least. Shape: where all agree, else unclear. Upper
    /// bound: the largest, where T20 has none but for the filter.
    BandDecay mean;
    int double_slopes = 0; ///< positions
};

/// The mean of a set of positions: `positions` names them.
struct PositionMean {
    std::vector<std::string> positions;
    std::vector<BandMean> bands;
};

struct TargetResult {
    std::string name; ///< as job.toml has it
    std::optional<double> nominal_s;
    std::vector<BandTarget> bands;
    std::optional<NotJudged> not_judged; ///< then there is no nominal_s
};

/// The return against the visit's position of the same name, in one band.
struct ReturnChange {
    Band band;
    Measured first_s, again_s; ///< T20
    Measured change_percent;   ///< without interval
};

struct VisitReturn {
    MeasuredPosition measured;
    std::vector<ReturnChange> bands; ///< empty where the position itself has no take in use
};

struct VisitResult {
    std::vector<MeasuredPosition> positions; ///< all, listening places too
    PositionMean room;                       ///< positions that are no listening place
    PositionMean listening;
    std::optional<VisitReturn> returned;
    bool air_noted = false; ///< else 20 °C or 50 % was assumed where the protocol is blank
    RoomStatement statement;
    std::vector<TargetResult> targets;
    BandWidth width = BandWidth::third;
    SetupFinding setup; ///< of the positions that are no listening place
    std::vector<JobNote> notes;
};

/// Whether somebody listens there, by the job's description.
bool is_listening(const JobDescription& job, const Position& position);

/// Those that the question is answered at: the listening places where there are any among them, else all.
std::vector<MeasuredPosition> asked_positions(const JobDescription& job,
                                              const std::vector<MeasuredPosition>& positions);

/// Air of a visit: the mean of start and end, either alone, or 20 °C and 50 %.
Air air_of(const VisitProtocol& protocol);

/// All that `decay JOB --visit V` says. `positions` not empty; all analysed with the same options. `returns`
/// is the visit's return, one position or none.
VisitResult visit_result(const JobDescription& job, const VisitProtocol& protocol,
                         std::vector<MeasuredPosition> positions, std::vector<MeasuredPosition> returns);

} // namespace ebbmark
