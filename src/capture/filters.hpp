// SPDX-License-Identifier: GPL-3.0-or-later
// Analogue Butterworth filters as transfer functions, unity gain. Frequencies may be complex.
#pragma once

#include <complex>

namespace ebbmark {

/// Even order.
std::complex<double> butterworth_low_pass(std::complex<double> hz, double corner_hz, int order);
std::complex<double> butterworth_high_pass(std::complex<double> hz, double corner_hz, int order);

} // namespace ebbmark
