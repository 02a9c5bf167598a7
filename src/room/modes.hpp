// SPDX-License-Identifier: GPL-3.0-or-later
// Modes of a rectangular room with rigid walls: M. Long, Architectural Acoustics, 2nd ed., Eqs 8.43 to 8.46.
#pragma once

#include "room/geometry.hpp"

#include <array>
#include <vector>

namespace ebbmark {

enum class ModeKind { axial, tangential, oblique };

struct RoomMode {
    std::array<int, 3> order{}; ///< nx, ny, nz
    double hz = 0;

    /// Number of non-zero orders: one, two or three. Not for order 0 0 0.
    ModeKind kind() const;
};

/// f = (c/2) √((nx/Lx)² + (ny/Ly)² + (nz/Lz)²).
double mode_hz(const Box& box, const std::array<int, 3>& order, double speed_of_sound);

/// All modes above 0 Hz up to and with `to_hz`, by frequency, equal ones by order.
std::vector<RoomMode> room_modes(const Box& box, double speed_of_sound, double to_hz);

/// Smoothed number of modes below `hz`, and modes per hertz there.
double mode_count(const Box& box, double speed_of_sound, double hz);
double mode_density_per_hz(const Box& box, double speed_of_sound, double hz);

/// cos(nx π x/Lx) cos(ny π y/Ly) cos(nz π z/Lz).
double mode_shape(const Box& box, const std::array<int, 3>& order, const Point& point);

/// Product over the axes of 1 (order 0) or 2: the volume over the integral of the squared mode shape.
double mode_weight(const std::array<int, 3>& order);

/// 2000 √(T/V), above which modes overlap threefold: M. R. Schroeder, JASA 34 (1962) 1819.
double schroeder_hz(double decay_s, double volume_m3);

} // namespace ebbmark
