// SPDX-License-Identifier: GPL-3.0-or-later
// How much the bare walls absorb, from how the room rang before: the damping of a mode is linear in the small
// real admittance of each pair of walls (P. M. Morse, K. U. Ingard, Theoretical Acoustics, ch. 9).
#pragma once

#include "room/geometry.hpp"

#include <array>
#include <vector>

namespace ebbmark {

/// One equation: damping in 1/s = Σ per_axis · β(hz), with its relative standard deviation.
struct WallEquation {
    std::array<double, 3> per_axis{};
    double hz = 0;
    double damping_per_s = 0;
    double deviation = 0.05;
};

/// (c/2) ε_d 2/L_d: each wall of the pair across axis d has β. ε is 1 for order 0, else 2.
WallEquation wall_equation(const Box& box, double speed_of_sound, const std::array<int, 3>& order);

/// Re β of the pair of walls across each axis, linear in lg f between knots a third of a decade apart.
class WallFit {
  public:
    /// Least squares with β ≥ 0, smooth over frequency and towards equal walls where the equations leave it
    /// open. `equations` not empty.
    explicit WallFit(const std::vector<WallEquation>& equations);
    double admittance(std::size_t axis, double hz) const;

  private:
    std::array<std::vector<double>, 3> values_;
};

} // namespace ebbmark
