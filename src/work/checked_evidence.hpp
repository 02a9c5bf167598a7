// SPDX-License-Identifier: GPL-3.0-or-later
// No document is made of a job whose evidence contradicts itself, unless somebody insists.
#pragma once

#include "job/verify.hpp"
#include "work/analysed_job.hpp"

#include <filesystem>

namespace ebbmark {

/// Every check of verify. Throws EvidenceNotIntact where the evidence is not; `may_insist`: whether --force
/// would do beside restoring the files.
Verification checked_evidence(const std::filesystem::path& job, bool may_insist);

/// What is done with evidence that changed: `read` (--force) takes it as it is.
enum class ChangedEvidence { refused, read };

/// A job for a document.
struct JobForDocument {
    Verification verification;
    AnalysedJob job;
};
JobForDocument open_for_document(const std::filesystem::path& path, ChangedEvidence changed);

} // namespace ebbmark
