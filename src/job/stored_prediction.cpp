// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/stored_prediction.hpp"

#include "files/toml.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

bool StoredPrediction::is_before(std::string_view visit) const {
    return std::find(visits.begin(), visits.end(), visit) == visits.end();
}

bool StoredPrediction::is_as_built() const {
    return original_name == computed_as_built;
}

const StoredPrediction* last_planned(const std::vector<StoredPrediction>& stored) {
    const auto last =
        std::find_if(stored.rbegin(), stored.rend(), [](const auto& one) { return !one.is_as_built(); });
    return last == stored.rend() ? nullptr : &*last;
}

const StoredPrediction* last_as_built(const std::vector<StoredPrediction>& stored) {
    const auto last =
        std::find_if(stored.rbegin(), stored.rend(), [](const auto& one) { return one.is_as_built(); });
    return last == stored.rend() ? nullptr : &*last;
}

std::string to_toml(const StoredPrediction& stored) {
    std::string measured;
    for (const std::string& visit : stored.visits)
        measured += (measured.empty() ? "" : ", ") + toml_quoted(visit);
    return fmt::format("# Written once when the prediction was stored. Changing it breaks the evidence.\n"
                       "[prediction]\nstored_at = {}\noriginal_name = {}\nvisits_measured = [{}]\n",
                       toml_quoted(stored.stored_at), toml_quoted(stored.original_name), measured);
}

StoredPrediction stored_prediction_from(std::string_view toml, std::string_view name) {
    const TomlFile file = TomlFile::parse(toml, name);
    const TomlTable table = file.root().need("prediction").table();
    StoredPrediction stored;
    stored.stored_at = table.need("stored_at").text();
    stored.original_name = table.need("original_name").text();
    const auto visits = table.need("visits_measured").list();
    for (const TomlValue& visit : visits)
        stored.visits.push_back(visit.text());
    file.refuse_unknown_keys();
    return stored;
}

const StoredPrediction* prediction_for(const std::vector<StoredPrediction>& stored, std::string_view visit) {
    for (auto one = stored.rbegin(); one != stored.rend(); ++one)
        if (one->is_before(visit) && !one->is_as_built())
            return &*one;
    return last_planned(stored);
}

} // namespace ebbmark
