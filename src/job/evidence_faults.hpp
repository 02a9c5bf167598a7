// SPDX-License-Identifier: GPL-3.0-or-later
// What is wrong with the evidence of a job, as paths, and the refusal that follows. Their words stand in
// proof/words.
#pragma once

#include "base/error.hpp"

#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

struct EvidenceFaults {
    std::vector<std::string> changed, missing; ///< paths in the job folder, sorted
    std::vector<std::string> unreadable;       ///< the same: there, and cannot be read
    std::vector<std::string> said; ///< why the job cannot be opened, where all of its files are in order

    bool empty() const { return changed.empty() && missing.empty() && unreadable.empty() && said.empty(); }
    bool operator==(const EvidenceFaults&) const = default;
};

/// Nothing is made of evidence that is not intact, unless somebody insists where that is possible. what()
/// names the job alone.
class EvidenceNotIntact : public Error {
  public:
    EvidenceNotIntact(std::string job, EvidenceFaults faults, bool may_insist)
        : Error(ErrorKind::unusable, job + ": the evidence is not intact"), job_(std::move(job)),
          faults_(std::move(faults)), may_insist_(may_insist) {}
    const std::string& job() const { return job_; } ///< its folder, as the user writes it
    const EvidenceFaults& faults() const { return faults_; }
    bool may_insist() const { return may_insist_; } ///< with --force

  private:
    std::string job_;
    EvidenceFaults faults_;
    bool may_insist_;
};

} // namespace ebbmark
