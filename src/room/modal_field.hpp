// SPDX-License-Identifier: GPL-3.0-or-later
// Sound field of a rectangular room with absorbing faces at low frequencies: Galerkin solution of the
// Helmholtz equation in the modes of the rigid room, with the boundary condition ∂p/∂n = −jkβp (P. M. Morse,
// K. U. Ingard, Theoretical Acoustics, ch. 9; H. Kuttruff, Room Acoustics, ch. 3). The faces couple the modes
// through their own complex, frequency-dependent admittance; this is a full solution, not the first-order
// damping of single modes. Locally reacting faces.
#pragma once

#include "room/geometry.hpp"

#include <array>
#include <complex>
#include <functional>
#include <memory>
#include <span>
#include <vector>

namespace ebbmark {

/// A part of a wall with a normalised admittance ρc/Z of its own, in place of the wall's. The function must
/// take complex frequencies near the real axis, Re > 0.
struct AbsorbingFace {
    WallRectangle rectangle;
    std::function<std::complex<double>(std::complex<double> hz)> admittance;
};

struct DampedRoom {
    Box box;
    double speed_of_sound = 343;
    /// Real normalised admittance of a whole wall, small against 1: enters each mode by itself, to first
    /// order (within 0.1 % of exact up to 0.03).
    std::function<double(Wall wall, double hz)> wall_admittance;
    /// Amplitude decay rate in 1/s that all modes share: furniture as if diffuse, c A / (8 V), air, m c / 2.
    std::function<double(double hz)> shared_damping_per_s;
    std::vector<AbsorbingFace> faces;
};

/// One damped mode.
struct DampedMode {
    std::array<int, 3> order{}; ///< of the rigid room's mode from which it was followed
    double hz = 0;
    double decay_s = 0; ///< 60 dB
};

class ModalField {
  public:
    /// Answers up to `top_hz`; the faces are resolved fully up to 0.6 of it. Cost grows with the modes below
    /// 1.2 top_hz and the square of the faces' areas.
    ModalField(DampedRoom room, double top_hz);
    ~ModalField();
    ModalField(ModalField&&) noexcept;
    ModalField& operator=(ModalField&&) noexcept;

    /// Frequencies at which transfer() answers; complex where Im ≠ 0. Made once, used for all places.
    void prepare(std::span<const std::complex<double>> hz);

    /// Sound pressure at the microphone at each prepared frequency, of a point source whose free field has
    /// amplitude 1 at 1 m distance. Both places inside the box.
    std::vector<std::complex<double>> transfer(const Point& source, const Point& microphone) const;

    /// The damped modes up to `to_hz` ≤ top_hz, by frequency, each with the faces' admittance at its own
    /// complex frequency. Modes so strongly damped that they merge are given once.
    std::vector<DampedMode> damped_modes(double to_hz) const;

    /// First-order damping and frequency of one mode: a check and a start value.
    DampedMode first_order(const std::array<int, 3>& order) const;

  private:
    struct Solver;
    std::unique_ptr<Solver> solver_;
};

} // namespace ebbmark
