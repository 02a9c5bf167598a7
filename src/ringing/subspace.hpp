// SPDX-License-Identifier: GPL-3.0-or-later
// First guess of the poles in one frequency window: R. Roy, T. Kailath, IEEE Trans. ASSP 37 (1989) 984
// (ESPRIT) on the stacked Hankel matrices of all positions.
#pragma once

#include "ringing/exponentials.hpp"

#include <vector>

namespace ebbmark {

/// Poles from spectra in units of their noise (bins × positions) at equally spaced frequencies. The window's
/// outer `guard_hz` on either side are faded out. Order: the eigenvalues of the signals' covariance that
/// exceed what white noise of that level gives. Poles outside the window or growing in time are dropped.
std::vector<Pole> subspace_poles(const Eigen::VectorXd& hz, const Eigen::MatrixXcd& spectra, double guard_hz);

} // namespace ebbmark
