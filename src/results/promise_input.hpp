// SPDX-License-Identifier: GPL-3.0-or-later
// Everything that the page for the offer prints.
#pragma once

#include "job/stored_prediction.hpp"
#include "job/stored_promise.hpp"
#include "results/units.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

struct PromiseInput {
    StoredPromise promise;
    std::string client, address, invoice; ///< as job.toml has them now; no part of the promise
    std::optional<StoredPrediction> prediction;
    std::string visit_before;        ///< empty where nothing is measured yet
    std::vector<std::string> places; ///< that the question is answered at, and `before_s` is a mean over
    std::size_t positions = 0;       ///< measured in that visit
    /// Decay measured before, per band.
    std::vector<std::pair<Band, Measured>> before_s;
    bool simulated = false;
    std::string version;
    Units units = Units::metric;
};

} // namespace ebbmark
