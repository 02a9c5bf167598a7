// SPDX-License-Identifier: GPL-3.0-or-later
// Hard strips that stand on edge in a layer and leave channels between them, as one fluid that moves
// otherwise along each axis: from the wall to the face, along the strips' long edge, and not at all across
// them.
#pragma once

#include "room/porous.hpp"

#include <optional>

namespace ebbmark {

/// As a tape measures them.
struct Dividers {
    /// Where a strip comes out at the face: opposite the place where it stands on the wall's side (straight
    /// or bowed), or beside it (leaning).
    enum class Ends { opposite, beside };
    /// Direction of the long edge, along the face's height or width.
    enum class Run { height, width };

    double spacing_m = 0;         ///< clear, > thickness
    double thickness_m = 0;       ///< > 0
    std::optional<double> path_m; ///< along one strip from back to front, 1 to 2 depths; absent: straight
    Ends ends = Ends::opposite;
    Run run = Run::height;

    friend bool operator==(const Dividers&, const Dividers&) = default;
};

/// What strips do to the layer that they stand in.
struct Strips {
    double open_share = 1;  ///< of its volume that they leave, φ
    double lengthening = 1; ///< F ≥ 1: of the density from wall to face, for the longer way
};

/// φ = s/(s + t); F = 1 + q (L²/D² − 1) with q = 0.7 (0.84 D/s)^0.75 for strips that end beside where they
/// began, half of that for a bow. q is fitted to steady flow through the strips as they stand
/// (two-dimensional finite elements, spacing over depth 0.41 to 1.54). The textbook's (L/D)² holds for narrow
/// channels only: it is the most that F can be.
Strips strips_of(const Dividers& dividers, double depth_m);

/// The strips in a frame this wide inside: beside the first and the last there is a channel each.
struct StripsInFrame {
    int count = 0;
    double between_m = 0; ///< from the outer side of the first to that of the last; 0 with less than two
};
StripsInFrame strips_in(const Dividers& dividers, double width_m);

/// The layer as a whole, with the plain channels at the frame's sides.
Strips strips_over_frame(const Dividers& dividers, double depth_m, double width_m);

/// Along the normal: impedance Z √F/φ, wave number k √F. Along the long edge the same with F = 1.
EquivalentFluid between_strips(const EquivalentFluid& filling, const Strips& strips);

} // namespace ebbmark
