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

EquivalentFluid between_strips(const EquivalentFluid& filling, const Strips& strips) {
    const double root = std::sqrt(strips.lengthening);
    return {filling.impedance * root / strips.open_share, filling.wave_number * root};
}

} // namespace ebbmark
