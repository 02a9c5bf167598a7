// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/notes.hpp"

#include "decay/shape.hpp"

#include <fmt/format.h>

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

void shape_notes(BandDecay& decay) {
    auto& notes = decay.notes;
    if (decay.shape == DecayShape::double_slope)
        notes.push_back(
            fmt::format("The decay has two slopes: {:.2f} s early, {:.2f} s late. No single decay "
                        "time describes it.",
                        *decay.early_slope_s, *decay.late_slope_s));
    const bool bent = decay.curvature_percent && *decay.curvature_percent > fixed_curvature_percent;
    const bool crooked =
        decay.nonlinearity_permille && *decay.nonlinearity_permille > fixed_nonlinearity_permille;
    const bool doubtful = decay.shape != DecayShape::double_slope;
    if (doubtful && crooked_beyond_chance(decay))
        notes.push_back(
            fmt::format("The decay leaves a straight line by more than chance (xi {:.0f} per mille): another "
                        "sound or a strong late reflection may lie within it. The decay time depends on "
                        "where it is read; look at the curve.",
                        *decay.nonlinearity_permille));
    else if ((bent || crooked) && doubtful)
        notes.push_back(
            "By the fixed limits of ISO 3382-2 the decay is not straight; with so few independent "
            "values in this band a single slope shows as much by chance.");
    if (decay.curvature_percent && *decay.curvature_percent < -fixed_curvature_percent)
        notes.push_back(
            "The later decay is shorter than the early one, which a room alone does not do by more "
            "than chance; the noise may have been removed from the recording before.");
}

void end_notes(BandDecay& decay, const Tail& tail) {
    auto& notes = decay.notes;
    if (tail.event_s >= 0 && *decay.decay_range_db < event_matters_below_db)
        notes.push_back(fmt::format("Another sound {:.2f} s after the direct sound; only what lies before it "
                                    "was used.",
                                    tail.event_s));
    if (tail.end == DecayEnd::length && *decay.decay_range_db >= 10)
        notes.push_back("The recording ends before the decay reaches the noise.");
    if (tail.noise_change_db != 0)
        notes.push_back(fmt::format("The noise changes by {:.0f} dB during the recording.",
                                    std::abs(tail.noise_change_db)));
    // Gaussian noise has 1, a sine 0; a tone as strong as the noise around it lies near 0.8.
    if (tail.noise_deviation < 0.6)
        notes.push_back("A steady tone (hum or a machine) sets the noise in this band.");
}

} // namespace

void add_notes(BandDecay& decay, const Tail& tail) {
    if (decay.at_most_s)
        decay.notes.push_back(fmt::format("The decay is shorter than the band filter can show (B·T below 4): "
                                          "at most {:.2f} s.",
                                          *decay.at_most_s));
    if (decay.bandwidth_time && *decay.bandwidth_time < filters_agree_bandwidth_time && decay.t20_s)
        decay.notes.push_back(fmt::format("B·T is {:.0f}: below 64, two instruments with filters of the best "
                                          "class may disagree about this response.",
                                          *decay.bandwidth_time));
    shape_notes(decay);
    end_notes(decay, tail);
}

std::string nothing_emitted_note() {
    return "The response holds no more here than at 8 to 16 Hz: the loudspeaker emitted nothing, and the "
           "noise was "
           "faded out.";
}

std::string source_note() {
    return "The test signal does not reach the whole of this band.";
}

} // namespace ebbmark
