// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/random.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

double Random::uniform() {
    return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53;
}

std::complex<double> Random::normal_pair() {
    const double radius = std::sqrt(-2 * std::log(uniform()));
    const double angle = 2 * std::numbers::pi * uniform();
    return {radius * std::cos(angle), radius * std::sin(angle)};
}

} // namespace ebbmark
