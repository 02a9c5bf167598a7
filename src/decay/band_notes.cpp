// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/band_notes.hpp"

#include "decay/shape.hpp"

#include <cmath>

namespace ebbmark {

namespace {

// Below this, two filters of class 1 disagree about the same response (measured, see README.md).
constexpr double filters_agree_bandwidth_time = 64;

// ISO 3382-2:2008 Annex B (from memory): xi above 10 per mille is far from straight, C above 10 % suspicious.
constexpr double fixed_nonlinearity_permille = 10;
constexpr double fixed_curvature_percent = 10;

// What follows a decay that far above all ranges is not worth a sentence.
constexpr double event_matters_below_db = 65;

void add_shape(std::vector<DecayNote>& notes, const BandDecay& decay) {
    const bool doubtful = decay.shape != DecayShape::double_slope;
    if (!doubtful)
        notes.push_back(TwoSlopes{*decay.early_slope_s, *decay.late_slope_s});
    const bool bent = decay.curvature_percent && *decay.curvature_percent > fixed_curvature_percent;
    const bool crooked =
        decay.nonlinearity_permille && *decay.nonlinearity_permille > fixed_nonlinearity_permille;
    if (doubtful && crooked_beyond_chance(decay))
        notes.push_back(CrookedBeyondChance{*decay.nonlinearity_permille});
    else if ((bent || crooked) && doubtful)
        notes.push_back(CrookedByFixedLimits{});
    if (decay.curvature_percent && *decay.curvature_percent < -fixed_curvature_percent)
        notes.push_back(LaterDecayShorter{});
}

void add_end(std::vector<DecayNote>& notes, const BandDecay& decay, const Tail& tail) {
    if (tail.event_s >= 0 && *decay.decay_range_db < event_matters_below_db)
        notes.push_back(SecondSound{tail.event_s});
    if (tail.end == DecayEnd::length && *decay.decay_range_db >= 10)
        notes.push_back(EndsBeforeNoise{});
    if (tail.noise_change_db != 0)
        notes.push_back(NoiseChanges{std::abs(tail.noise_change_db)});
    // Gaussian noise has 1, a sine 0; a tone as strong as the noise around it lies near 0.8.
    if (tail.noise_deviation < 0.6)
        notes.push_back(SteadyTone{});
}

} // namespace

std::vector<DecayNote> notes_on(const BandDecay& decay, const Tail& tail) {
    std::vector<DecayNote> notes;
    if (decay.at_most_s)
        notes.push_back(ShorterThanFilter{*decay.at_most_s});
    if (decay.bandwidth_time && *decay.bandwidth_time < filters_agree_bandwidth_time && decay.t20_s)
        notes.push_back(FiltersMayDisagree{*decay.bandwidth_time});
    add_shape(notes, decay);
    add_end(notes, decay, tail);
    return notes;
}

} // namespace ebbmark
