// SPDX-License-Identifier: GPL-3.0-or-later
// The before-and-after measurement record: the first page for the client, the rest for whoever wants to
// attack it. Pure: everything is passed in.
#pragma once

#include "job/description.hpp"
#include "job/stored_promise.hpp"
#include "job/take.hpp"
#include "job/verify.hpp"
#include "job/visit.hpp"
#include "job/visit_result.hpp"
#include "proof/compare_report.hpp"
#include "proof/curve_chart.hpp"
#include "proof/document.hpp"
#include "proof/units.hpp"
#include "proof/waterfall_report.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Absorption of one trap by the forecast's method, mean over the question's bands.
struct TrapEffect {
    std::string trap;
    double planned_m2 = 0, built_m2 = 0;
};

struct ProofPhoto {
    std::string name; ///< file in the photos folder
    PhotoPixels pixels;
    std::string failure; ///< why it can't be shown; empty where it can
};

struct ProofInput {
    JobDescription job;       ///< with question, acceptance, places and plan as fixed before the build
    JobDescription described; ///< as job.toml has it now
    std::map<std::string, VisitProtocol> visits;
    std::vector<Take> takes;
    CompareReport comparison;
    VisitResult before, after;
    std::string shown_position; ///< of waterfall and curves
    std::optional<WaterfallReport> waterfall;
    CurvePanels curves;
    std::optional<StoredPromise> promise; ///< that the question was fixed in
    std::string question_fixed_at;        ///< ISO 8601; empty where it is not fixed
    std::vector<TrapEffect> effects;      ///< of traps with something recorded as built
    std::vector<ProofPhoto> photos;
    std::vector<EvidenceFile> evidence; ///< everything in the list of evidence
    Verification verification;          ///< made in the same run
    std::size_t responses_made = 0;     ///< anew from recordings, in the same run
    std::string response_note;          ///< which kept ones differed from those; empty where none did
    std::string version;
    Units units = Units::metric;
    bool redacted = false;
};

Document proof_document(const ProofInput& input);

/// What stands first where the evidence is not intact; empty where it is.
std::string evidence_warning(const Verification& verification);

/// What a promise's digits prove, as far as its own list of files was checked.
std::string sealed_sentence(const StoredPromise& promise, const Verification& verification);

/// One sentence for the invoice, good or bad.
std::string invoice_line(const ProofInput& input);

/// Without what names people or places: for a portfolio.
ProofInput redacted(ProofInput input);

/// The result of `proof` on standard output.
struct ProofReport {
    const ProofInput& input;
    const Document& document;
    std::vector<std::string> pages; ///< files written
};
std::string to_json(const ProofReport& report);
std::string to_csv(const ProofReport& report);
std::string to_text(const ProofReport& report);

// --- its parts

DocumentSection proof_first_page(const ProofInput& input);
/// Bands, modes, waterfall, decay curves, added absorption, further measures.
std::vector<DocumentSection> proof_findings(const ProofInput& input);
/// Traps, sketch, places, photos.
std::vector<DocumentSection> proof_room(const ProofInput& input);
/// Test-report items, conditions, takes, quality, limits, evidence.
std::vector<DocumentSection> proof_record(const ProofInput& input);

} // namespace ebbmark
