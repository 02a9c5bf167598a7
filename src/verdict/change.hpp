// SPDX-License-Identifier: GPL-3.0-or-later
// How much each band changed and how surely, before anything is judged. Changes are ln(after/before).
#pragma once

#include "verdict/band_values.hpp"
#include "verdict/statistics.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// A visit's first take and its return: the same position after the microphone was moved away and back.
struct RepeatedTake {
    ResponseDecay first, again;
};

struct ChangeRules {
    bool paired = true;
    Metric metric = Metric::t20;         ///< in both states and all bands, fixed beforehand
    std::vector<RepeatedTake> returns;   ///< of both visits
    std::vector<bool> listening;         ///< one flag per pair; none set, or empty: all positions count
    std::vector<std::size_t> alike;      ///< number per pair: those alike in the bass have the same; or empty
    std::vector<double> correction;      ///< per band, added to every change; empty: 0
    std::vector<double> common_variance; ///< per band, of what all positions share; empty: 0
};

/// Of what the variance of a change is made.
struct VarianceParts {
    double fits = 0;    ///< what the fits explain (ISO 3382-2:2008, clause 7)
    double scatter = 0; ///< what the values scatter beyond that
    double hidden = 0;  ///< values that the band filter hides
    double common = 0;  ///< what all places share
};

/// One band of two states. "Here": at the positions measured (the listening places where there are any), with
/// the uncertainty of measuring again; "general": positions as a random sample of the room.
struct BandChange {
    BandValues values;
    std::optional<MeanEstimate> here;
    std::optional<MeanEstimate> general;
    /// ln T after as a value of the room, to be held against a prediction: the positions are a sample of it.
    std::optional<MeanEstimate> after;
    /// An upper bound of the change where the band filter hides most after-values; then the two are empty.
    std::optional<MeanEstimate> at_most;
    Spread one_difference;     ///< scatter of single differences that `general` rests on; paired only
    double own_freedom = 0;    ///< degrees of freedom of the band's own scatter, without what others lend it
    VarianceParts parts;       ///< of `here`; paired only
    double share_before = 0.5; ///< part of the variance that comes from the state before
    /// Means of ln T over the positions of `here`, so that after − before is its mean.
    std::optional<double> before_log_s, after_log_s;
    int positions = 0;               ///< of `here`; unpaired: the smaller count
    std::vector<std::size_t> places; ///< indices of the pairs behind `here`; paired only
    bool completed = false;          ///< some after-values entered as bounds
};

/// All bands; the lists as for compare(). Without returns the scatter between positions stands in for the
/// reproducibility, on the safe side; at one position both fits with an allowance for putting the microphone
/// back (allowances.hpp).
std::vector<BandChange> estimate_changes(const std::vector<ResponseDecay>& before,
                                         const std::vector<ResponseDecay>& after, const ChangeRules& rules);

} // namespace ebbmark
