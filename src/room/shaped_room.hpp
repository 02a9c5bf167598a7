// SPDX-License-Identifier: GPL-3.0-or-later
// Rooms that are a box with parts: their cavity, and their modes told by the box's orders.
#pragma once

#include "room/cavity.hpp"

#include <array>
#include <map>
#include <span>
#include <vector>

namespace ebbmark {

/// Its solid parts and recesses; coordinates stay the room's own.
CavityShape cavity_of(const RoomShape& room);

/// |Σ p* q|² / (Σ |p|² Σ |q|²) of two shapes at the same places; 0 where one of them is 0 everywhere.
double likeness(std::span<const std::complex<double>> p, std::span<const std::complex<double>> q);

/// Below it two shapes are no pair.
inline constexpr double least_overlap = 0.6;

/// Places spread evenly over the air of the box (Halton's sequence), 500 in an empty one.
std::vector<Point> places_in(const RoomShape& room);

struct ShapedMode {
    double hz = 0;
    std::vector<double> pressure; ///< at the places asked for
};

/// The modes of a rigid room up to `to_hz` by the orders of the box's mode that each is most like; those that
/// are like none are left out. Errors of CavityModel.
std::map<std::array<int, 3>, ShapedMode> shaped_modes(const RoomShape& room, const Medium& air, double to_hz,
                                                      std::span<const Point> places);

} // namespace ebbmark
