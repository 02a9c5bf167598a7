// SPDX-License-Identifier: GPL-3.0-or-later
// No document is made of a job whose evidence contradicts itself, unless somebody insists.
#pragma once

#include "job/verify.hpp"
#include "work/analysed_job.hpp"

#include <string>

namespace ebbmark {

/// Every check of verify. Throws Error(unusable), saying what differs and the mend, where the evidence is not
/// intact; `insist` is what the mend proposes beside restoring the files, and may be empty.
Verification checked_evidence(const std::filesystem::path& job, const std::string& insist);

/// What is done with evidence that changed: `read` (--force) takes it as it is.
enum class ChangedEvidence { refused, read };

/// A job for a document.
struct JobForDocument {
    Verification verification;
    AnalysedJob job;
};
JobForDocument open_for_document(const std::filesystem::path& path, ChangedEvidence changed);

} // namespace ebbmark
