// SPDX-License-Identifier: GPL-3.0-or-later
// What is to be measured on a visit, and with which sweep.
#pragma once

#include "capture/device.hpp"
#include "job/job_folder.hpp"
#include "signal/sweep.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// All sources with all microphones, in the order of job.toml. Throws Error(unusable) where there is none.
std::vector<Position> positions_of(const JobDescription& job);

/// The lowest frequency that is played with one source, so that no cone moves without use: its own; where
/// none is given, the highest of the others; 20 Hz where there is none either.
double lowest_played_hz(const JobDescription& job, std::string_view source);

/// A take that is to be made.
struct PlannedTake {
    Position position;
    bool is_return = false; ///< the microphone was moved away and back
};

/// What a visit still lacks, in the order of job.toml, and the return to its first position in the end.
std::vector<PlannedTake> missing_takes(const JobFolder& job, const std::string& visit);

/// `number` counts the visit's takes from 1. Throws Error(unusable) where the job has no such place.
Situation situation_at(const JobDescription& job, const std::string& visit, const PlannedTake& take,
                       int number);

} // namespace ebbmark
