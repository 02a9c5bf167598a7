// SPDX-License-Identifier: GPL-3.0-or-later
// The tensor grid of a cavity: cells, what they are made of, and how their nodes hang together.
#pragma once

#include "room/cavity.hpp"

#include <array>
#include <utility>
#include <vector>

namespace ebbmark {

/// Grid lines along one axis, and the polynomial order between each and the next.
struct GridAxis {
    std::vector<double> lines_m;
    std::vector<int> orders;
};

/// Lines at every edge of the shape, between them such orders that modes below `to_hz` are within 0.05 % in
/// frequency. `finer` is added to every order.
std::array<GridAxis, 3> grid_axes(const CavityShape& shape, double to_hz, double speed_of_sound,
                                  int finer = 0);

struct GridCell {
    std::array<std::size_t, 3> at{}; ///< segment along each axis
    std::array<int, 3> orders{};
    Point from_m{}, size_m{};
    int fluid = 0;
    std::array<int, 3> density_of{}; ///< fluid whose density counts along each axis; CavityPart::still
    std::optional<CavityPart::Cut> cut;
    std::vector<int> unknowns; ///< of its nodes, x fastest
};

/// One side of a cell at a wall or solid.
struct GridSurface {
    std::size_t cell = 0, axis = 0;
    bool far = false; ///< the side at the larger coordinate
    std::size_t surface = 0;
};

/// Cloth between two cells, the second at the larger coordinate.
struct GridCloth {
    std::size_t cell = 0, beyond = 0, axis = 0;
    std::size_t cloth = 0;
};

struct CavityGrid {
    std::array<GridAxis, 3> axes;
    std::vector<GridCell> cells; ///< solid ones are left out
    std::vector<GridSurface> surfaces;
    std::vector<GridCloth> cloths;
    int unknowns = 0;

    /// The cell that holds a point: its index, or cells.size() where the point lies in a solid or outside.
    std::size_t cell_at(const Point& point) const;
};

/// The side of a cell at the smaller or at the larger coordinate of an axis.
enum class CellSide { low, high };

/// Indices into GridCell::unknowns of the nodes of one side.
std::vector<std::size_t> side_nodes(const std::array<int, 3>& orders, std::size_t axis, CellSide side);

/// Nodes of neighbouring cells are the same unknown except across a screen. Throws Error(unusable) where
/// nothing is left of the room.
CavityGrid cavity_grid(const CavityShape& shape, std::array<GridAxis, 3> axes);

} // namespace ebbmark
