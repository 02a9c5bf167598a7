// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/checked_evidence.hpp"

namespace ebbmark {

namespace fs = std::filesystem;

Verification checked_evidence(const fs::path& job, bool may_insist) {
    Verification found = verify(job);
    if (!found.intact)
        throw EvidenceNotIntact(job.string(), faults_in(found), may_insist);
    return found;
}

JobForDocument open_for_document(const fs::path& path, ChangedEvidence changed) {
    const bool anyway = changed == ChangedEvidence::read;
    AnalysedJob job(path, Access::write_if_possible, anyway ? Trust::blind : Trust::checked);
    Verification found = anyway ? verify(path) : checked_evidence(path, true);
    return {std::move(found), std::move(job)};
}

} // namespace ebbmark
