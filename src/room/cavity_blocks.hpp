// SPDX-License-Identifier: GPL-3.0-or-later
// How a cavity is parted for its grid: lines that hold everywhere, and blocks in which finer ones hold, so
// that what follows a slant in one corner does not part the whole room.
#pragma once

#include "room/cavity.hpp"

#include <array>
#include <vector>

namespace ebbmark {

// Lines closer than this are one: far below every wavelength and every builder's accuracy.
inline constexpr double same_line_m = 0.002;

/// A box-shaped piece with a tensor grid of its own.
struct GridBlock {
    struct Axis {
        std::vector<int> lines;  ///< indices into BlockGrid::lines_m, rising
        std::vector<int> orders; ///< polynomial order between each and the next
    };
    std::array<Axis, 3> axes;
};

/// Where two blocks meet the lines of one are among those of the other.
struct BlockGrid {
    std::array<std::vector<double>, 3> lines_m; ///< of all blocks, rising
    std::vector<GridBlock> blocks;
};

/// Lines at every edge of the shape, between them such orders that modes below `to_hz` are within 0.05 % in
/// frequency. `finer` is added to every order.
BlockGrid block_grid(const CavityShape& shape, double to_hz, double speed_of_sound, int finer);

} // namespace ebbmark
