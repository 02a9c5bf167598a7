// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/shape.hpp"

#include <cmath>

namespace ebbmark {

double curvature_limit_percent(double bandwidth_time) {
    // T30 / T20 of a single slope scatters by about 0.7 / √(B · T); 5 % on one side.
    return 3 + 100 * 1.64 * 0.7 / std::sqrt(bandwidth_time);
}

void judge_shape(BandDecay& decay, const EnergyCurve& curve) {
    decay.shape = DecayShape::unclear;
    if (!decay.curvature_percent || !decay.bandwidth_time)
        return;
    const double limit = curvature_limit_percent(*decay.bandwidth_time);
    const double curvature = *decay.curvature_percent;
    if (curvature > limit) {
        decay.shape = DecayShape::double_slope;
        decay.early_slope_s = decay.t20_s.value;
        decay.late_slope_s = 6 * std::log(10) / curve.tail_rate_per_s;
    } else if (limit < 30 && curvature > -limit) {
        decay.shape = DecayShape::single;
    }
}

} // namespace ebbmark
