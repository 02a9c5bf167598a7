// SPDX-License-Identifier: GPL-3.0-or-later
// What the commands on a job folder say, as text, JSON and CSV. Pure.
#pragma once

#include "job/next.hpp"
#include "job/stored_prediction.hpp"
#include "job/verify.hpp"
#include "proof/deconvolve_report.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// `new` and `next`.
struct NextReport {
    std::string command;
    bool simulated = false;
    NextSteps steps;
};

struct ExcludeReport {
    bool simulated = false;
    std::string take;
    std::string because;
};

/// `predict`: the prediction that the job holds.
struct PredictionReport {
    bool simulated = false;
    StoredPrediction stored;
    bool counts = false; ///< no visit after the build had a take yet when it was stored
};

/// One take as `import` and `take` keep it.
struct KeptTake {
    std::string visit;
    std::string position;
    std::string take; ///< its id
    DeconvolveReport report;
};

struct KeepReport {
    std::string command = "import";
    bool simulated = false;
    std::vector<KeptTake> takes;
};

std::string to_json(const NextReport& report);
std::string to_csv(const NextReport& report);
std::string to_text(const NextReport& report);

std::string to_json(const ExcludeReport& report);
std::string to_csv(const ExcludeReport& report);
std::string to_text(const ExcludeReport& report);

std::string to_json(const PredictionReport& report);
std::string to_csv(const PredictionReport& report);
std::string to_text(const PredictionReport& report);

std::string to_json(const KeepReport& report);
std::string to_csv(const KeepReport& report);
std::string to_text(const KeepReport& report);

std::string to_json(const Verification& report);
std::string to_csv(const Verification& report);
std::string to_text(const Verification& report);

} // namespace ebbmark
