// SPDX-License-Identifier: GPL-3.0-or-later
// A prediction as it was stored in the job, with what shows whether it came before a visit.
#pragma once

#include "verdict/prediction.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct StoredPrediction {
    std::string file;                ///< in the job folder, "predictions/001.csv"
    std::string sha256;              ///< of that file
    std::string stored_at;           ///< ISO 8601 with zone
    std::string original_name;       ///< of the table that was brought in
    std::vector<std::string> visits; ///< that had takes by then
    Prediction prediction;

    /// Whether nothing of this visit had been measured yet.
    bool is_before(std::string_view visit) const;
    /// Whether it is of the traps as they were built: it explains, and never counts as the prediction.
    bool is_as_built() const;
};

/// What a table is called that the program itself computed: of the plan, and of what was built.
inline constexpr std::string_view computed_table = "computed.csv";
inline constexpr std::string_view computed_as_built = "computed-as-built.csv";

/// The last one of the plan, and of what was built; nothing where there is none.
const StoredPrediction* last_planned(const std::vector<StoredPrediction>& stored);
const StoredPrediction* last_as_built(const std::vector<StoredPrediction>& stored);

/// What stands beside the table; the table itself and its hash are not in it.
std::string to_toml(const StoredPrediction& stored);

/// The other way round. Throws Error(unusable).
StoredPrediction stored_prediction_from(std::string_view toml, std::string_view name);

/// The one of the plan that a comparison with this visit uses: the last stored before it was measured, else
/// the last of all, which proves nothing; nothing where there is none.
const StoredPrediction* prediction_for(const std::vector<StoredPrediction>& stored, std::string_view visit);

} // namespace ebbmark
