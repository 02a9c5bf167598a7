// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "job/evidence_faults.hpp"
#include "job/verify_notes.hpp"
#include "proof/words/sentences.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const VerifyNote& note);

/// "the first 6 of 10 files of the evidence".
std::string sentence(const Covered& covered);

/// "changed: a; missing: b"; empty where nothing is wrong.
std::string words_for(const EvidenceFaults& faults);
/// With the mend.
std::string words_for(const EvidenceNotIntact& refused);

} // namespace ebbmark
