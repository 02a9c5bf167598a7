// SPDX-License-Identifier: GPL-3.0-or-later
// Everything that the before-and-after measurement record prints.
#pragma once

#include "base/photo_pixels.hpp"
#include "job/advice.hpp"
#include "job/description.hpp"
#include "job/since_promise.hpp"
#include "job/stored_promise.hpp"
#include "job/take.hpp"
#include "job/verify.hpp"
#include "job/visit.hpp"
#include "job/visit_result.hpp"
#include "results/compared.hpp"
#include "results/decay_curves.hpp"
#include "results/units.hpp"
#include "results/waterfall_result.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

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
    std::optional<StoredPromise> promise;           ///< that the question was fixed in
    std::optional<SincePromise> since_promise;      ///< what came after it
    std::map<std::string, std::vector<Lack>> lacks; ///< of the compared visits, by name
    std::vector<VisitDigits> digits;                ///< of the compared visits, in their order
    std::string question_fixed_at;                  ///< ISO 8601; empty where it is not fixed
    std::optional<StoredPrediction> as_built;       ///< the last forecast of what was built
    std::vector<ProofPhoto> photos;
    std::vector<EvidenceFile> evidence;             ///< everything in the list of evidence
    Verification verification;                      ///< made in the same run
    std::size_t responses_made = 0;                 ///< anew from recordings, in the same run
    std::optional<KeptResponsesDiffer> kept_differ; ///< kept ones, from those
    std::string version;
    Units units = Units::metric;
    bool redacted = false;
    std::vector<std::string> foreign_materials; ///< named in layers, and not one of the program's
    std::vector<std::string> hidden_words;      ///< of a redacted one: may stand in no text
};

} // namespace ebbmark
