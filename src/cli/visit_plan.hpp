// SPDX-License-Identifier: GPL-3.0-or-later
// What is to be measured on a visit, and with which sweep.
#pragma once

#include "capture/device.hpp"
#include "job/job_folder.hpp"
#include "signal/sweep.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// All sources with all microphones, in the order of job.toml. Throws Error(unusable) where there is none.
std::vector<Position> positions_of(const JobDescription& job);

/// The highest of the sources' own lowest frequencies, so that no cone moves without use; 20 Hz where none is
/// given.
double lowest_played_hz(const JobDescription& job);

/// Throws Error(unusable) where the job has no such place.
Situation situation_at(const JobDescription& job, const std::string& visit, const Position& position,
                       int take, bool is_return);

} // namespace ebbmark
