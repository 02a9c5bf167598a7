// SPDX-License-Identifier: GPL-3.0-or-later
// Before against after: log-ratios of decay times over positions.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "decay/decay.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class Finding { shorter, longer, shown_unchanged, no_change_shown, not_measurable };

/// As it stands in JSON: "shorter", "longer", "shown unchanged", "no change shown", "not measurable".
std::string_view name(Finding finding);

enum class Metric { t20, t30 };

/// "t20" or "t30".
std::string_view name(Metric metric);

/// What is said of one band.
struct BandFinding {
    Band band;
    Metric metric = Metric::t20;
    int positions = 0; ///< pairs with a value in both states; unpaired: the smaller of the two counts
    std::optional<double> before_s; ///< geometric means over the positions used
    std::optional<double> after_s;
    std::optional<double> after_at_most_s; ///< where no after-value could be shown for the filter
    Measured change_percent;               ///< with its plain 95 % interval
    std::optional<double>
        could_show_percent; ///< smallest decrease that would have been found in 80 % of cases
    Finding finding = Finding::not_measurable;
    Measured added_area_m2; ///< equivalent absorption area added, ISO 354:2003 8.1
    std::vector<std::string> notes;
};

struct Comparison {
    int pairs = 0; ///< positions compared; unpaired: the smaller of the two counts
    bool paired = true;
    std::vector<BandFinding> bands;
    std::vector<std::string> notes; ///< what the figures rest on
};

struct CompareOptions {
    bool paired = true;
    std::optional<double> volume_m3; ///< needed for the added absorption
    double temperature_c = 20;       ///< of both visits, for the speed of sound in the added absorption
};

/// Compares two states of one room; `before[i]` pairs with `after[i]` unless unpaired. All analyses have the
/// same bands, neither list is empty, paired lists are equally long. T20 in both states, in every band. The
/// chance of any false shorter or longer over all bands is 5 % (Holm); `shown unchanged` is two one-sided
/// tests at 5 % with a margin of 15 % below 200 Hz and 5 % from there on.
Comparison compare(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   const CompareOptions& options);

} // namespace ebbmark
