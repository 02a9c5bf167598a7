// SPDX-License-Identifier: GPL-3.0-or-later
// What the user writes, as it stood when evidence was kept: job.toml without client, address and invoice in
// one fixed spelling, and each visit's protocol byte for byte. Kept beside the evidence whenever it had
// changed, so that what was changed later can be told.
#pragma once

#include "job/description.hpp"
#include "job/manifest.hpp"
#include "job/plan_difference.hpp"
#include "job/visit.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// The last file of a folder in the first `count` lines of the list; nothing where there is none.
std::optional<EvidenceLine> last_in(const EvidenceLines& lines, std::string_view folder, std::size_t count);

/// "FOLDER/002.toml" where the list holds one.
std::string next_in(const EvidenceLines& lines, std::string_view folder);

/// A text of the user that is no more as it stood when evidence was kept.
struct ChangedText {
    std::string file;                 ///< "visits/before/visit.toml" or "job.toml"
    std::string kept;                 ///< as it stood, "visits/before/protocols/001.toml"
    std::vector<std::string> keys;    ///< such as "air.temperature_end"; with `plan` empty: spelling only
    std::vector<PlanDifference> plan; ///< of job.toml
};

/// Keys that differ, in the order of the file.
std::vector<std::string> differing_keys(const VisitProtocol& then, const VisitProtocol& now);

/// Keys that differ and are no part of the plan: what was built, title, contractor and the like.
std::vector<std::string> differing_keys(const JobDescription& then, const JobDescription& now);

} // namespace ebbmark
