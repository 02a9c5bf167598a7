// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/clarity.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Part of the energy that arrives after a limit.
std::optional<double> late_part(const EnergyCurve& curve, double limit_s, double advance_s,
                                double bandwidth_hz) {
    if (limit_s * bandwidth_hz < 1)
        return std::nullopt;
    return std::clamp(curve.at(limit_s - advance_s) / curve.remaining.front(), 1e-12, 1 - 1e-12);
}

Measured ratio_db(std::optional<double> late) {
    return late ? Measured::of(10 * std::log10((1 - *late) / *late)) : Measured::none(Empty::filter);
}

/// Mean time of the energy after the onset: the mean over time of what remains.
double centre_time_s(const EnergyCurve& curve, double advance_s) {
    double moment = 0;
    for (std::size_t i = 0; i + 1 < curve.remaining.size(); ++i)
        moment += 0.5 * (curve.remaining[i] + curve.remaining[i + 1]);
    moment = moment * curve.step_s + curve.tail_energy / curve.tail_rate_per_s;
    return moment / curve.remaining.front() - static_cast<double>(curve.lead) * curve.step_s + advance_s;
}

} // namespace

void add_clarity(BandDecay& decay, const EnergyCurve& curve, double advance_s, Empty too_short) {
    if (curve.range_db < needed_range_early_db || !(curve.remaining.front() > 0)) {
        decay.c50_db = decay.c80_db = decay.d50_percent = decay.ts_ms = Measured::none(too_short);
        return;
    }
    const double bandwidth_hz = decay.band.bandwidth_hz();
    const auto after_50_ms = late_part(curve, 0.05, advance_s, bandwidth_hz);
    decay.c50_db = ratio_db(after_50_ms);
    decay.c80_db = ratio_db(late_part(curve, 0.08, advance_s, bandwidth_hz));
    decay.d50_percent = after_50_ms ? Measured::of(100 * (1 - *after_50_ms)) : Measured::none(Empty::filter);
    decay.ts_ms = Measured::of(1000 * centre_time_s(curve, advance_s));
}

} // namespace ebbmark
