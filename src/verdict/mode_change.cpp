// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/mode_change.hpp"

#include <cmath>

namespace ebbmark {

namespace {

/// Variance of ln T60 from its 95 % interval.
std::optional<double> log_variance(const Measured& decay_s) {
    if (!decay_s || !decay_s.low || !decay_s.high || *decay_s.low <= 0)
        return {};
    const double deviation = std::log(*decay_s.high / *decay_s.low) / (2 * 1.959964);
    return deviation * deviation;
}

} // namespace

std::optional<Tested> tested(const ModePair& mode, double common_variance) {
    const auto before = log_variance(mode.before_t60_s), after = log_variance(mode.after_t60_s);
    const double margin = unchanged_margin(mode.before_hz);
    if (!before)
        return {};
    if (after)
        return Tested{{std::log(*mode.after_t60_s / *mode.before_t60_s),
                       std::sqrt(*before + *after + common_variance), INFINITY},
                      margin,
                      false};
    if (mode.after_t60_at_most_s)
        return Tested{{std::log(*mode.after_t60_at_most_s / *mode.before_t60_s),
                       std::sqrt(*before + common_variance), INFINITY},
                      margin,
                      true};
    return {};
}

} // namespace ebbmark
