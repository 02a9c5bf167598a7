// SPDX-License-Identifier: GPL-3.0-or-later
// One band's decay as JSON fields, as cells of a CSV row and as a row of a table: the same for a response and
// for a mean over positions.
#pragma once

#include "decay/decay.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/words/table.hpp"

#include <set>
#include <string>
#include <vector>

namespace ebbmark {

Json band_json(const BandDecay& band);

/// Columns and cells of a CSV row without line end; the last column holds the reasons for blank cells.
std::string band_csv_head();
std::string band_csv(const BandDecay& band);

/// A further column under "how sure", one cell per band.
struct SureColumn {
    std::string head, unit;
    std::vector<std::string> cells;
};

/// How long, how straight, how sure, how clear. Without columns of one's own: decay range and B·T.
std::string band_table(const std::vector<BandDecay>& bands);
std::string band_table(const std::vector<BandDecay>& bands, const std::vector<SureColumn>& sure);

/// All reasons for empty values.
std::set<Empty> reasons_in(const std::vector<BandDecay>& bands);

} // namespace ebbmark
