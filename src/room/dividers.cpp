// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/dividers.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

Strips strips_of(const Dividers& dividers, double depth_m) {
    Strips strips{dividers.spacing_m / (dividers.spacing_m + dividers.thickness_m), 1};
    const double longer = dividers.path_m.value_or(depth_m) / depth_m;
    if (longer > 1) {
        const double lean = 0.7 * std::pow(0.84 * depth_m / dividers.spacing_m, 0.75);
        const double q = dividers.ends == Dividers::Ends::beside ? lean : 0.7 * lean;
        strips.lengthening = 1 + std::min(q, 1.0) * (longer * longer - 1);
    }
    return strips;
}

StripsInFrame strips_in(const Dividers& dividers, double width_m) {
    const double channel = dividers.spacing_m + dividers.thickness_m;
    const int count = std::max(0, static_cast<int>(std::lround((width_m - dividers.spacing_m) / channel)));
    return {count, count < 2 ? 0 : count * channel - dividers.spacing_m};
}

Strips strips_over_frame(const Dividers& dividers, double depth_m, double width_m) {
    const StripsInFrame inside = strips_in(dividers, width_m);
    const double longer = strips_of(dividers, depth_m).lengthening;
    return {std::max(0.5, 1 - inside.count * dividers.thickness_m / width_m),
            1 + (longer - 1) * inside.between_m / width_m};
}

EquivalentFluid between_strips(const EquivalentFluid& filling, const Strips& strips) {
    const double root = std::sqrt(strips.lengthening);
    return {filling.impedance * root / strips.open_share, filling.wave_number * root};
}

} // namespace ebbmark
