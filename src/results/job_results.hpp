// SPDX-License-Identifier: GPL-3.0-or-later
// What is said of a job: its next steps, its takes, its prediction.
#pragma once

#include "job/day_digits.hpp"
#include "job/next.hpp"
#include "job/stored_prediction.hpp"
#include "results/examined_recording.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// `new` and `next`.
struct NextReport {
    std::string command;
    bool simulated = false;
    NextSteps steps;
    std::optional<DayDigits> digits = {}; ///< to be shown to the client, at the end of a visit
    std::vector<Note> notes = {};         ///< before those of the steps
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

} // namespace ebbmark
