// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/shape.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double split_db = -15; // of −15, −20 and −25 the one that told double slopes apart best
constexpr double deepest_db = -38;
constexpr double above_end_db = 8;

// Measured on single slopes, B · T = 8 to 2000: 95 % lie below 2.3 to 2.9 and above −4.3.
constexpr double bend_by_chance = 2.7;
constexpr double bend_by_chance_downwards = -4.3;

// A bend below these may be real and does no harm to a single decay time: from ISO 3382-2 Annex B (C 10 %),
// with room for chance in C itself.
constexpr double least_curvature_percent = 8;
constexpr double least_nonlinearity_permille = 15;

// xi times B · T on single slopes, B · T = 16 to 4000: 99 % lie below 1800 to 2400 (decay_scenarios shape
// --tuning). xi up to 5 per mille is usual (ISO 3382-2 Annex B, from memory) and does no harm.
constexpr double nonlinearity_by_chance = 2200;
constexpr double usual_nonlinearity_permille = 5;

// Below it even a late decay twice as long as the early one goes unseen.
constexpr double least_bandwidth_time = 16;

} // namespace

std::optional<double> bend(const EnergyCurve& curve, double bandwidth_hz) {
    const double end_db = std::max(deepest_db, above_end_db - curve.range_db);
    if (end_db > split_db - 10)
        return std::nullopt;
    const auto early = fit_line(curve, -5, split_db), late = fit_line(curve, split_db, end_db);
    if (!early || !late)
        return std::nullopt;
    return std::log(late->decay_s / early->decay_s) * std::sqrt(bandwidth_hz * early->decay_s);
}

bool crooked_beyond_chance(const BandDecay& decay) {
    return decay.nonlinearity_permille && decay.bandwidth_time &&
           *decay.nonlinearity_permille > usual_nonlinearity_permille &&
           *decay.nonlinearity_permille * *decay.bandwidth_time > nonlinearity_by_chance;
}

void judge_shape(BandDecay& decay, const EnergyCurve& curve) {
    decay.shape = DecayShape::unclear;
    const auto bent = bend(curve, decay.band.bandwidth_hz());
    if (!bent || !decay.curvature_percent || !decay.bandwidth_time)
        return;
    const bool matters = *decay.curvature_percent > least_curvature_percent ||
                         *decay.nonlinearity_permille > least_nonlinearity_permille;
    if (*bent > bend_by_chance && matters) {
        decay.shape = DecayShape::double_slope;
        decay.early_slope_s = fit_line(curve, -5, split_db)->decay_s;
        decay.late_slope_s = 6 * std::log(10) / curve.tail_rate_per_s;
    } else if (*bent > bend_by_chance_downwards && *decay.bandwidth_time >= least_bandwidth_time &&
               !crooked_beyond_chance(decay)) {
        decay.shape = DecayShape::single;
    }
}

} // namespace ebbmark
