// SPDX-License-Identifier: GPL-3.0-or-later
// From estimates to words.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "verdict/statistics.hpp"

#include <span>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class Finding { shorter, longer, shown_unchanged, no_change_shown, not_measurable };

/// As it stands in JSON: "shorter", "longer", "shown unchanged", "no change shown", "not measurable".
std::string_view name(Finding finding);

/// Chance of a false finding: of the question alone, and over all bands and modes of a run together.
inline constexpr double false_finding_chance = 0.05;

/// Margin of "shown unchanged" as ln ratio: 15 % below 200 Hz, 5 % from there on.
double unchanged_margin(double hz);

/// One member of a family that is judged together.
struct Tested {
    MeanEstimate change;  ///< ln(after/before)
    double margin = 0;    ///< of "shown unchanged", as ln ratio
    bool at_most = false; ///< the change is at most this: only `shorter` can be shown
    double weight = 1;    ///< its share of the chance of a false finding, against the others'
};

struct Judged {
    Finding finding = Finding::not_measurable;
    double could_show_percent = 0; ///< at the most cautious step of the procedure; not for upper bounds
};

/// Judges a family: the chance of any false shorter or longer in it is 5 % (Holm, with weights). A family of
/// one is a test alone at 5 %.
std::vector<Judged> judge(std::span<const Tested> family);

/// ln ratio to per cent.
double to_percent(double log_ratio);

/// The change in per cent with its plain 95 % interval.
Measured percent_with_interval(const MeanEstimate& change);

} // namespace ebbmark
