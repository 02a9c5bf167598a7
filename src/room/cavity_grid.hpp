// SPDX-License-Identifier: GPL-3.0-or-later
// The grid of a cavity: cells, what they are made of, and how their nodes hang together.
#pragma once

#include "room/cavity_blocks.hpp"

#include <array>
#include <utility>
#include <vector>

namespace ebbmark {

struct GridCell {
    std::array<std::size_t, 3> at{}; ///< the line that it begins at along each axis
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

/// A node between the nodes of a coarser neighbour: the pressure there is Σ weight × theirs.
struct GridFollower {
    std::vector<std::pair<int, double>> leaders; ///< unknowns, rising, with their weights
};

struct CavityGrid {
    std::array<std::size_t, 3> segments{}; ///< between the lines of all cells, along each axis
    std::vector<GridCell> cells;           ///< solid ones are left out
    std::vector<GridSurface> surfaces;
    std::vector<GridCloth> cloths;
    int unknowns = 0;
    std::vector<GridFollower> followers; ///< numbered on from the unknowns

    int nodes() const { return unknowns + static_cast<int>(followers.size()); }
    /// Calls `act(unknown, weight)` for the node itself, or for each that it follows.
    template <class Act>
    void each_leader(int node, const Act& act) const {
        if (node < unknowns)
            return act(node, 1.0);
        for (const auto& [leader, weight] : followers[static_cast<std::size_t>(node - unknowns)].leaders)
            act(leader, weight);
    }

    /// The cell that holds a point: its index, or cells.size() where the point lies in a solid or outside.
    std::size_t cell_at(const Point& point) const;
};

/// The side of a cell at the smaller or at the larger coordinate of an axis.
enum class CellSide { low, high };

/// Indices into GridCell::unknowns of the nodes of one side.
std::vector<std::size_t> side_nodes(const std::array<int, 3>& orders, std::size_t axis, CellSide side);

/// Nodes of neighbouring cells are the same unknown except across a screen; those of a finer side follow the
/// coarser one. Orders as block_grid says. Throws Error(unusable) where nothing is left of the room.
CavityGrid cavity_grid(const CavityShape& shape, double to_hz, double speed_of_sound, int finer = 0);

} // namespace ebbmark
