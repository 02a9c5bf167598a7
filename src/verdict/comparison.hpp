// SPDX-License-Identifier: GPL-3.0-or-later
// Before against after: paired log-ratios of decay times.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "decay/decay.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

enum class Finding { shorter, longer, shown_unchanged, no_change_shown, not_measurable };

/// As it stands in JSON: "shorter", "longer", "shown unchanged", "no change shown", "not measurable".
std::string name(Finding finding);

enum class Metric { t20, t30 };

/// "t20" or "t30".
std::string name(Metric metric);

/// What is said of one band.
struct BandFinding {
    Band band;
    Metric metric = Metric::t20;
    int positions = 0;              ///< pairs (unpaired: the smaller count) that gave a value in both states
    std::optional<double> before_s; ///< geometric means over the positions used
    std::optional<double> after_s;
    std::optional<double> after_at_most_s;
    Measured change_percent;                  ///< with its plain 95 % interval
    std::optional<double> could_show_percent; ///< smallest change shown in 80 % of cases
    Finding finding = Finding::not_measurable;
    std::optional<double> added_area_m2, added_area_low_m2, added_area_high_m2;
    std::vector<std::string> notes;
};

struct Comparison {
    int pairs = 0; ///< positions compared
    bool paired = true;
    std::vector<BandFinding> bands;
    std::vector<std::string> notes; ///< what the figures rest on
};

struct CompareOptions {
    bool paired = true;
    std::optional<double> volume_m3; ///< needed for added absorption
    double temperature_c = 20;       ///< for the speed of sound in the added absorption
};

/// Compares two states of one room; `before[i]` pairs with `after[i]` unless unpaired. All analyses have the
/// same bands. The family-wise chance of a false shorter or longer over all bands is 5 % (Holm).
Comparison compare(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   const CompareOptions& options);

} // namespace ebbmark
