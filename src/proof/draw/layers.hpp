// SPDX-License-Identifier: GPL-3.0-or-later
// A value over two axes as flat layers, each one a closed outline: no raster, the same in every format.
#pragma once

#include "proof/draw/canvas.hpp"

#include <vector>

namespace ebbmark {

/// Values on a grid that need not be even: `value[row][column]` at (`x[column]`, `y[row]`) of the canvas.
struct Grid {
    std::vector<double> x, y;
    std::vector<std::vector<double>> value;
};

/// Closed outline of all that is at or above a threshold; with `above` false, of a hole in it.
struct Outline {
    std::vector<Spot> points;
    bool above = true;
};

/// Outlines at `threshold`, straight between crossings that are linear along the grid's lines.
std::vector<Outline> outlines(const Grid& grid, double threshold);

/// Fills what lies from each of the rising thresholds to the next with the colour of the same place. What is
/// below the first stays as it was, but for holes, which become paper.
void draw_layers(Canvas& canvas, const Grid& grid, const std::vector<double>& thresholds,
                 const std::vector<Colour>& colours);

/// `count` colours from pale to dark in equal steps of lightness, sand to ink blue: told apart in grey print
/// and by colour-blind readers by lightness alone.
std::vector<Colour> fade_colours(int count);

} // namespace ebbmark
