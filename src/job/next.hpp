// SPDX-License-Identifier: GPL-3.0-or-later
// What to do next in a job. Pure.
#pragma once

#include "decay/decay.hpp"
#include "job/advice.hpp"
#include "job/description.hpp"
#include "job/job_folder.hpp"
#include "job/notes.hpp"
#include "job/take.hpp"
#include "job/visit.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// A job as `next` sees it.
struct JobState {
    std::string path; ///< as the user writes it, for the commands that are proposed
    JobDescription description;
    std::map<std::string, VisitProtocol> visits;
    std::vector<Take> takes;
    std::optional<FixedQuestion> fixed_question;
    std::vector<StoredPrediction> predictions = {};
    std::vector<StoredPromise> promises = {};
    std::string digest;
    std::string today;          ///< "2026-11-25"
    EvidenceFaults faults = {}; ///< what verify finds wrong with the evidence
    /// Analyses of takes in use, by take id; takes without one are judged by their own checks alone.
    std::map<std::string, ResponseDecay> decays;
};

/// State of an opened job, without analyses.
JobState state_of(const JobFolder& job, std::string today);

/// What a visit lacks before one may leave the room.
std::vector<Lack> lacking(const JobState& state, const std::string& visit);

struct NextSteps {
    std::string stage;                 ///< "plan", "measure", "compare" or "prove"
    std::string visit;                 ///< the visit that this is about, or empty
    std::vector<Lack> missing;         ///< what is not there yet
    std::vector<Step> now;             ///< what to do now, in order
    std::optional<bool> safe_to_leave; ///< during a visit: whether everything needed was measured
    std::vector<JobNote> notes;
};

NextSteps next_steps(const JobState& state);

/// What of a plan is doubtful where something is foretold from it: what looks mistaken in job.toml, and that
/// `places`, planned or measured, are one alone.
std::vector<JobNote> plan_notes(const JobDescription& job, const std::vector<Position>& places);
/// With the places that are planned.
std::vector<JobNote> plan_notes(const JobDescription& job);

} // namespace ebbmark
