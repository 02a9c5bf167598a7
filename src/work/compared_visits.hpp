// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "job/verify.hpp"
#include "job/visit_result.hpp"
#include "results/compared.hpp"
#include "work/analysed_job.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// The visits that a comparison is about where none are named: visit_before(), and all after the build, the
/// latest last.
std::string required_visit_before(const JobFolder& job);
std::vector<std::string> later_visits(const JobFolder& job, const std::string& before);

/// All visits that such a comparison is about, and all that it rests on: those before the build besides, from
/// which it knows what the room does without traps.
std::vector<std::string> visits_of(const std::string& from, const std::vector<std::string>& later);
std::vector<std::string> visits_behind(const JobFolder& job, const std::string& from,
                                       const std::vector<std::string>& later);

/// The last of the later visits against the first, and those between; position by position. Positions that
/// only one visit has are named in the notes. `asked` says which bands are shown and judged; all are
/// analysed. Throws Error(unusable) where a visit is missing or has no position in common with the first.
CompareReport compare_visits(const AnalysedJob& job, const std::string& from_visit,
                             const std::vector<std::string>& later, const DecayOptions& asked,
                             Progress& progress);

/// What a comparison rests on.
enum class MadeOf {
    kept_responses, ///< where they are there and current: a quick look
    recordings      ///< responses made anew: whatever goes to others
};

/// What `compare JOB` says: the comparison, whether the evidence is intact, and in notes what it was made
/// from and how the plan of today differs from the promise's.
CompareReport compare_job(const AnalysedJob& job, const std::string& from_visit,
                          const std::vector<std::string>& later, const DecayOptions& asked, MadeOf made_of,
                          Progress& progress);

/// What `compare JOB` says without further options; first whether the evidence is intact.
CompareReport findings_of(const AnalysedJob& job, const Verification& verification, Progress& progress);

/// A comparison with what the first and the last of its visits say of the room.
struct ComparedVisits {
    CompareReport report;
    VisitResult before, after;
};

/// The same for documents, which need more than the findings; every visit is analysed once.
ComparedVisits compare_visits_whole(const AnalysedJob& job, const std::string& from_visit,
                                    const std::vector<std::string>& later, const DecayOptions& asked,
                                    Progress& progress);

} // namespace ebbmark
