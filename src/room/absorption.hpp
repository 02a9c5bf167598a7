// SPDX-License-Identifier: GPL-3.0-or-later
// Statistical reverberation: W. C. Sabine, C. F. Eyring, and the absorption area that two decay times tell.
#pragma once

#include <span>

namespace ebbmark {

struct AbsorbingArea {
    double area_m2 = 0;
    double alpha = 0; ///< random-incidence absorption coefficient
};

/// 24 ln 10 V / (c A + c 4 m V), A = Σ S α. `air_per_m` is m of the air (room/air.hpp).
double sabine_s(double volume_m3, std::span<const AbsorbingArea> areas, double speed_of_sound,
                double air_per_m = 0);

/// The same with −S ln(1 − mean α) in place of A; mean α below 1.
double eyring_s(double volume_m3, std::span<const AbsorbingArea> areas, double speed_of_sound,
                double air_per_m = 0);

/// One state of a room for the areas below.
struct DecayState {
    double decay_s = 0;
    double celsius = 20;
    double air_per_m = 0;
};

/// Equivalent absorption area of surfaces and things, ISO 354:2003 clause 8: 55.3 V / (c T) − 4 V m with
/// c = 331 + 0.6 t (15 to 30 °C). 0 or less where the air alone would make the decay shorter than T.
double absorption_area_m2(double volume_m3, const DecayState& state);

/// Absorption area added between two states, ISO 354:2003 clause 8: 55.3 V (1/(c2 T2) − 1/(c1 T1)) −
/// 4 V (m2 − m1) with c = 331 + 0.6 t (15 to 30 °C). Below the Schroeder frequency an "as if diffuse" figure.
double added_absorption_m2(double volume_m3, const DecayState& before, const DecayState& after);

/// Its first-order standard uncertainty from the relative standard uncertainties of the two decay times.
double added_absorption_uncertainty_m2(double volume_m3, const DecayState& before, const DecayState& after,
                                       double relative_before, double relative_after);

} // namespace ebbmark
