// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/targets.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace ebbmark {

std::string name(Target target) {
    return target == Target::itu_bs_1116_3 ? "ITU-R BS.1116-3" : "EBU Tech 3276";
}

std::optional<Target> target_named(std::string_view text) {
    for (const Target target : {Target::itu_bs_1116_3, Target::ebu_tech_3276})
        if (text == name(target))
            return target;
    return std::nullopt;
}

double nominal_decay_s(Target target, double volume_m3) {
    if (!(volume_m3 > 0))
        throw std::invalid_argument("a room's volume is above 0");
    const double nominal = 0.25 * std::cbrt(volume_m3 / 100);
    return target == Target::ebu_tech_3276 ? std::clamp(nominal, 0.2, 0.4) : nominal;
}

std::optional<TargetLimits> target_limits(Target target, double volume_m3, double nominal_hz) {
    const double middle = nominal_decay_s(target, volume_m3);
    if (nominal_hz < 63 || nominal_hz > 8000)
        return std::nullopt;
    double up = 0.05, down = 0.05;
    if (nominal_hz < 200)
        up += 0.25 * std::log(200 / nominal_hz) / std::log(200.0 / 63);
    if (nominal_hz > 4000)
        down += 0.05 * std::log(nominal_hz / 4000) / std::log(2.0);
    return TargetLimits{std::max(0.0, middle - down), middle + up};
}

std::vector<BandTarget> against_target(Target target, double volume_m3,
                                       const std::vector<BandAverage>& bands) {
    std::vector<BandTarget> result;
    for (const BandAverage& band : bands) {
        const auto limits = target_limits(target, volume_m3, band.band.nominal_hz);
        if (!limits)
            continue;
        const Measured& decay = leading_decay(band);
        TargetFinding finding = TargetFinding::no_value;
        if (decay)
            finding = *decay > limits->high_s  ? TargetFinding::above
                      : *decay < limits->low_s ? TargetFinding::below
                                               : TargetFinding::inside;
        result.push_back({band.band, *limits, finding, decay});
    }
    return result;
}

std::string name(TargetFinding finding) {
    switch (finding) {
    case TargetFinding::inside:
        return "inside";
    case TargetFinding::above:
        return "above";
    case TargetFinding::below:
        return "below";
    case TargetFinding::no_value:
        break;
    }
    return "no value";
}

} // namespace ebbmark
