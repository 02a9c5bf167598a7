// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/shape.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

double curvature_limit_percent(double bandwidth_time) {
    // Measured: the 95 % point of C √(B · T) of single slopes lies between 97 and 107 from B · T = 8 to 2000.
    // Below 10 %, the limit of ISO 3382-2, a bend may be real and still does no harm to a single decay time.
    return std::max(10.0, 108 / std::sqrt(bandwidth_time));
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
