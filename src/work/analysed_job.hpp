// SPDX-License-Identifier: GPL-3.0-or-later
// From the takes of a job to responses and decay times.
#pragma once

#include "decay/decay.hpp"
#include "job/job_folder.hpp"
#include "job/visit_result.hpp"
#include "results/notes.hpp"
#include "work/progress.hpp"
#include "work/take_response.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// What came of making responses anew.
struct AnewResponses {
    std::size_t made = 0;                         ///< from recordings
    std::optional<KeptResponsesDiffer> differing; ///< of those kept as current; nothing where none did
};

/// A job whose sounds are read and turned into responses once in a run.
class AnalysedJob : public JobFolder {
  public:
    using JobFolder::JobFolder;

    /// Made from the evidence. Where the job may be written it is kept in the results folder, and taken from
    /// there while it is current. Not for two threads at once.
    const TakeResponse& response_of(const Take& take) const;
    /// Keeps what was judged when the take of this id was kept, so that `take`, `import` and a comparison
    /// speak of the same response.
    void keep_response(const std::string& take, TakeResponse made) const;

  private:
    friend AnewResponses make_responses_anew(const AnalysedJob&, const std::vector<std::string>&, Progress&);
    mutable std::map<std::string, TakeResponse> responses_; ///< by id of the take
};

/// Makes the responses of all recordings in use in these visits anew, on every processor, and replaces those
/// kept: documents are made from recordings, whatever the results folder holds.
AnewResponses make_responses_anew(const AnalysedJob& job, const std::vector<std::string>& visits,
                                  Progress& progress);

/// One position of a visit: all takes in use, averaged.
using PositionDecay = MeasuredPosition;

/// All positions of a visit, or its return. `options` hold the bands; what the sources reached comes from the
/// takes. Throws Error(unusable) where the visit does not exist or nothing in it can be used.
std::vector<PositionDecay> analyse_visit(const AnalysedJob& job, const std::string& visit,
                                         const DecayOptions& options, TakeSet set, Progress& progress);

/// Whether a word on the command line names a job: a folder with a job.toml in it.
bool is_job(const std::string& word);

} // namespace ebbmark
