// SPDX-License-Identifier: GPL-3.0-or-later
// The before-and-after measurement record: the first page for the client, the rest for whoever wants to
// attack it. Pure: everything is passed in.
#pragma once

#include "proof/document/document.hpp"
#include "results/proof_input.hpp"

#include <string>
#include <vector>

namespace ebbmark {

Document proof_document(const ProofInput& input);

/// What a promise's digits prove, as far as its own list of files was checked.
std::string sealed_sentence(const StoredPromise& promise, const Verification& verification);

/// One sentence for the invoice, good or bad.
std::string invoice_line(const ProofInput& input);

/// The result of `proof` on standard output.
struct ProofReport {
    ProofInput input;
    Document document;
    std::vector<std::string> pages; ///< files written
};
std::string to_json(const ProofReport& report);
std::string to_csv(const ProofReport& report);
std::string to_text(const ProofReport& report);

// --- its parts

DocumentSection proof_first_page(const ProofInput& input);
/// The answer in whole sentences, what it means, and what it does not prove.
DocumentSection proof_answer(const ProofInput& input);
/// Bands, modes, waterfall, decay curves, added absorption, further measures.
std::vector<DocumentSection> proof_findings(const ProofInput& input);
/// Traps, sketch, places, photos.
std::vector<DocumentSection> proof_room(const ProofInput& input);
/// Test-report items, conditions, takes, quality, limits, evidence.
std::vector<DocumentSection> proof_record(const ProofInput& input);
/// What was added, left out or changed of earlier visits after the promise, in a sentence; empty where
/// nothing was.
std::string moved_since_promise(const ProofInput& input);

} // namespace ebbmark
