// SPDX-License-Identifier: GPL-3.0-or-later
// Absorption of a sample of finite size: S.-I. Thomasson, Acustica 44 (1980) 265.
#pragma once

#include "room/layers.hpp"

#include <complex>
#include <span>
#include <vector>

namespace ebbmark {

/// Normalised radiation impedance of a rectangle in a rigid wall for a wave from `angle_rad`, averaged over
/// the direction along the wall. Tends to 1/cos for a large one.
/// (2jk/πab) ∫∫ (a−u)(b−v) J0(kR sin θ) exp(−jkR)/R du dv, here over R alone: what lies on an arc is closed
/// form.
std::complex<double> radiation_impedance(double width_m, double height_m, double hz, double angle_rad,
                                         double speed_of_sound = 343);

/// The radiation impedances of one rectangle at one frequency, for all angles of a quadrature.
class FiniteSample {
  public:
    FiniteSample(double width_m, double height_m, double hz, const Medium& medium);

    /// Statistical absorption coefficient 2 ∫ 4 Re(z) sin θ / |z + z_f|² dθ, per area of the face; can
    /// exceed 1.
    double absorption(const LayerStack& stack) const;
    /// The most that any surface of this size absorbs, 2 ∫ sin θ / Re z_f dθ: where z is the conjugate of
    /// z_f.
    double most_absorption() const;

  private:
    struct Node {
        double sine, weight;
        std::complex<double> radiation;
    };
    std::vector<Node> nodes_;
};

} // namespace ebbmark
