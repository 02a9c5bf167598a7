// SPDX-License-Identifier: GPL-3.0-or-later
// A room for the wave equation: a box with rectangular parts that are filled (traps) or not there (recesses,
// columns), and thin screens. All axis-parallel.
#pragma once

#include "room/geometry.hpp"
#include "room/porous.hpp"

#include <complex>
#include <functional>
#include <optional>
#include <vector>

namespace ebbmark {

/// A part of the box. Later parts win where they overlap.
struct CavityPart {
    Point from_m{}, to_m{};
    int fluid = 0; ///< index into CavityMedia::fluids plus 1; 0 air; no_fluid: solid, not part of the room
    /// Fluid in whose density the air moves along each axis, like `fluid` itself: what is layered across a
    /// slant has its layers beside each other along it; between plates nothing moves across them.
    std::array<int, 3> density = {own_density, own_density, own_density};
    static constexpr int own_density = -2, still = -3;
    /// Two halves along a diagonal of two axes, for a face at 45°. Where the grid parts it further, or takes
    /// no linear functions, what is said above serves for all of it.
    struct Cut {
        /// The fluid whose compressibility counts, and those in whose density the air moves: across the
        /// diagonal, along it, along the third axis.
        struct Half {
            int fluid = 0;
            int through = 0, along = 0, third = 0;
        };
        std::array<std::size_t, 2> axes{}; ///< rising
        bool rising = false;               ///< the diagonal; halves: first the one at the smaller axes[0]
        std::array<Half, 2> halves{};
    };
    std::optional<Cut> cut = {};
    int refinement = -1; ///< index into CavityShape::refinements: which one's lines part it; −1: none
};
inline constexpr int no_fluid = -1;

/// A rectangle on a wall with a surface of its own: an index into CavityMedia::surfaces, from 6 on.
struct CavityPatch {
    WallRectangle rectangle;
    std::size_t surface = 6;
};

/// A thin sheet inside, upright on `axis`, without thickness or mass: closed, or cloth with an index into
/// CavityMedia::cloths.
struct CavityScreen {
    std::size_t axis = 0;
    double at_m = 0;
    std::array<double, 2> from_m{}, to_m{}; ///< along the two other axes, in rising order
    int cloth = closed;
    static constexpr int closed = -1;
    /// Where it meets this wall it does not seal: the pressure at the wall's edge is that of both sides.
    std::optional<Wall> ajar_at = {};
    int refinement = -1; ///< as a part's
};

/// Many small steps follow a slant here: lines of its own part this piece of the box, and not the rest of it;
/// linear functions serve between them.
struct CavityRefinement {
    Point from_m{}, to_m{};
    std::array<std::vector<double>, 3> lines_m; ///< along each axis; empty: none of its own
};

struct CavityShape {
    Box box; ///< begins at from_m
    std::vector<CavityPart> parts;
    std::vector<CavityPatch> patches;
    std::vector<CavityScreen> screens;
    std::vector<CavityRefinement> refinements = {};
    Point from_m = {}; ///< where all coordinates of the box, its parts and places in it begin

    double to_m(std::size_t axis) const { return from_m[axis] + box.edges_m[axis]; }
};

/// What the parts and surfaces are made of. Functions take complex frequencies near the real axis, Re > 0.
struct CavityMedia {
    Medium air;
    std::vector<std::function<EquivalentFluid(std::complex<double> hz)>> fluids;
    /// Normalised admittance of each surface: first the six walls in the order of all_walls (recesses and
    /// columns take the wall that looks the same way), then patches. Empty function: rigid.
    std::vector<std::function<std::complex<double>(std::complex<double> hz)>> surfaces;
    std::vector<double> cloths; ///< flow resistance over ρc, > 0
};

} // namespace ebbmark
