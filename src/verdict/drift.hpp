// SPDX-License-Identifier: GPL-3.0-or-later
// What a room does from one visit to the next with nothing built: told by two visits before the build.
#pragma once

#include "base/measured.hpp"
#include "verdict/change.hpp"
#include "verdict/question.hpp"

#include <span>
#include <string>
#include <vector>

namespace ebbmark {

/// All bands of two successive visits before the build, ln(later/earlier), corrected for the air.
struct UntouchedChange {
    std::string from, to; ///< visits
    std::vector<BandChange> changes;
};

/// What is said of them: the change of the question's mean, as compared; without a value where the question
/// is not of bands.
struct DriftFinding {
    std::string from, to; ///< visits
    Measured change_percent;
    std::vector<Band> bands; ///< behind it
};

/// Variance of ln T of this band from one visit to the next, beyond what measuring again explains. What the
/// bands within an octave to either side have in common is known as often as visits were paired, so from two
/// visits with one degree of freedom; what each has of its own with as many as there are bands, less one.
/// Nothing is assumed of its size: it is an estimate from the data (JCGM 100:2008, 4.2), 0 where the visits
/// agree. The band need not be one of theirs.
Spread drift_of_band(std::span<const UntouchedChange> untouched, const Band& band);

/// The same of a weighted mean over bands, as question_change() takes it: that mean of each pair of visits is
/// an observation of it. `of` names the bands and their weights in `bands`.
Spread drift_of_mean(std::span<const UntouchedChange> untouched, const std::vector<BandChange>& bands,
                     const QuestionChange& of);

/// An estimate that does not hold the drift, with it.
MeanEstimate with_drift(const MeanEstimate& estimate, const Spread& drift);

} // namespace ebbmark
