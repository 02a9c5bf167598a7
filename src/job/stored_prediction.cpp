// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/stored_prediction.hpp"

#include "files/toml.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

bool StoredPrediction::is_before(std::string_view visit) const {
    return std::find(visits.begin(), visits.end(), visit) == visits.end();
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
        if (one->is_before(visit))
            return &*one;
    return stored.empty() ? nullptr : &stored.back();
}

} // namespace ebbmark
