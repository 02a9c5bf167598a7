// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <complex>
#include <span>
#include <vector>

namespace ebbmark {

/// Modal assurance criterion: |aᴴb|² / (|a|² |b|²), 1 for equal shapes, 0 for orthogonal ones (R. J.
/// Allemang, D. L. Brown, Proc. 1st International Modal Analysis Conference (1982) 110). `a` and `b` are
/// equally long; 0 where one is zero.
double modal_assurance(const std::vector<std::complex<double>>& a,
                       const std::vector<std::complex<double>>& b);

} // namespace ebbmark
