// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/checked_evidence.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace fs = std::filesystem;

Verification checked_evidence(const fs::path& job, const std::string& insist) {
    Verification found = verify(job);
    if (!found.intact)
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: the evidence is not intact ({}); ebbmark verify {} tells more. Restore "
                                "these files from the copy on your second disk{}",
                                job.string(), faults_in(found), job.string(),
                                insist.empty() ? "" : ", or " + insist));
    return found;
}

JobForDocument open_for_document(const fs::path& path, ChangedEvidence changed) {
    const bool anyway = changed == ChangedEvidence::read;
    AnalysedJob job(path, Access::write_if_possible, anyway ? Trust::blind : Trust::checked);
    Verification found =
        anyway ? verify(path)
               : checked_evidence(path, "add --force: what is made then says first of all what differs");
    return {std::move(found), std::move(job)};
}

} // namespace ebbmark
