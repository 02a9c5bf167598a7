// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the evidence of a job is what was kept: every hash computed again, and the list of evidence held
// against what takes, promises and the fixed question say of the same files. Reads only, takes no lock, and
// works on a copy on any disk.
#pragma once

#include "base/error.hpp"
#include "job/evidence_faults.hpp"
#include "job/kept_texts.hpp"
#include "job/verify_notes.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// What a given digest is of.
enum class DigestKind {
    promise, ///< of a promise, as on the client's copy
    record,  ///< of the job, as on a record and in the invoice line
    day,     ///< of all that was kept by the end of a visit
    file     ///< of one file of the evidence
};
std::string_view name(DigestKind kind);

/// A promise's own list of files against those of the job.
struct PromiseCheck {
    std::string file; ///< "promises/001.toml"
    std::string sha256;
    std::string made_at;
    std::size_t listed = 0;
    std::size_t held = 0; ///< of the listed ones, those that the job holds with the same hash
};

struct Verification {
    bool intact = true; ///< nothing is changed, missing or unreadable, and nothing contradicts the list
    bool simulated = false;
    std::string digest;  ///< of the job as it is now; empty where the job cannot be read
    std::string promise; ///< the promise whose digest was given, "promises/001.toml"
    std::size_t files = 0;
    std::vector<std::string> changed; ///< paths in the job folder, sorted
    std::vector<std::string> missing;
    std::vector<std::string> unreadable; ///< job.toml and protocols that are there and cannot be read
    std::vector<std::string> added;      ///< files that nobody listed; named, no fault
    std::vector<VerifyNote> notes;
    std::vector<PromiseCheck> promises; ///< every one whose file is whole

    std::optional<bool> matches;    ///< whether the given digest is one of this job; empty without one
    std::optional<DigestKind> kind; ///< of the given digest, where it matches
    std::vector<Covered> covers;    ///< what that digest stands for
    /// Evidence kept since the promise, day or record whose digest was given, and takes left out since.
    std::vector<std::string> added_since, left_out_since;
    /// Texts of the user that are no more as they stood then; without a digest, when evidence was last kept.
    std::vector<ChangedText> changed_since;
    /// What job.toml has otherwise than the promise that counts.
    std::vector<PlanDifference> otherwise_than_promised;
    std::vector<std::string> time_stamps; ///< beside the notes of days, "days/001.tsr": checked by others

    /// The exit code's question: everything in order, and the digest one of this job where one was given.
    bool confirmed() const { return intact && matches.value_or(true); }
};

/// `expected_digest` may be empty, or any digest that a document of this job bears: of the job, of a promise,
/// of a file; whole, or the digits that were shown. Throws Error(unusable) where the folder is no job.
Verification verify(const std::filesystem::path& job, std::string_view expected_digest = {});

/// Empty where nothing is wrong.
EvidenceFaults faults_in(const Verification& verification);

/// The same; nothing where the evidence is intact.
std::optional<EvidenceFaults> evidence_faults(const Verification& verification);

} // namespace ebbmark
