// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/added_absorption.hpp"

#include "room/absorption.hpp"
#include "room/air.hpp"

#include <cmath>

namespace ebbmark {

namespace {

DecayState state_of(double decay_s, double hz, const std::optional<VisitConditions>& conditions) {
    Air air;
    if (conditions) {
        air.celsius = conditions->celsius.value_or(air.celsius);
        air.humidity_percent = conditions->humidity_percent.value_or(air.humidity_percent);
    }
    return {decay_s, air.celsius, air_attenuation_per_m(hz, air)};
}

} // namespace

Measured added_area(BandFinding& finding, const BandChange& change, const CompareOptions& options) {
    const double hz = finding.band.exact_hz;
    const DecayState before = state_of(*finding.before_s, hz, options.before_conditions);
    DecayState after = state_of(*finding.after_s, hz, options.after_conditions);
    if (options.before_conditions && options.after_conditions) // the decay after is corrected to that air
        after.air_per_m = before.air_per_m;
    const double spread = half_width(*change.here, 0.95); // Student's quantile times the standard error
    const double area = added_absorption_m2(*options.volume_m3, before, after);
    const double half = added_absorption_uncertainty_m2(*options.volume_m3, before, after,
                                                        spread * std::sqrt(change.share_before),
                                                        spread * std::sqrt(1 - change.share_before));
    if (options.schroeder_hz && finding.band.nominal_hz < *options.schroeder_hz)
        finding.notes.push_back(AreaAsIfDiffuse{});
    return {area, area - half, area + half, {}};
}

} // namespace ebbmark
