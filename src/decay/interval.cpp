// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/interval.hpp"

#include <cmath>

namespace ebbmark {

double relative_scatter(DecayQuantity quantity, double bandwidth_time) {
    switch (quantity) {
    case DecayQuantity::edt:
        return 1.6 / std::sqrt(bandwidth_time);
    case DecayQuantity::t20:
        return 0.88 * std::sqrt(1 + 1.90 / 10) / std::sqrt(bandwidth_time);
    case DecayQuantity::t30:
        return 0.55 * std::sqrt(1 + 1.52 / 10) / std::sqrt(bandwidth_time);
    }
    return 0;
}

Measured with_interval(DecayQuantity quantity, double decay_s, double bandwidth_hz) {
    const double scatter = relative_scatter(quantity, bandwidth_hz * decay_s);
    Measured measured = Measured::of(decay_s);
    measured.low = decay_s * std::exp(-1.96 * scatter);
    measured.high = decay_s * std::exp(1.96 * scatter);
    return measured;
}

} // namespace ebbmark
