// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/filters.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

using Complex = std::complex<double>;

Complex butterworth_low_pass(Complex hz, double corner_hz, int order) {
    const Complex s = Complex(0, 1) * hz / corner_hz;
    Complex result = 1;
    for (int pair = 0; pair < order / 2; ++pair)
        result /= s * s + 2 * std::sin(std::numbers::pi * (2 * pair + 1) / (2.0 * order)) * s + 1.0;
    return result;
}

Complex butterworth_high_pass(Complex hz, double corner_hz, int order) {
    return std::pow(Complex(0, 1) * hz / corner_hz, order) * butterworth_low_pass(hz, corner_hz, order);
}

} // namespace ebbmark
