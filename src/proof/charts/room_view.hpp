// SPDX-License-Identifier: GPL-3.0-or-later
// The walls of a room in one view, with its parts and patches.
#pragma once

#include "job/description.hpp"
#include "proof/draw/canvas.hpp"
#include "proof/draw/chart_axes.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// One view: which axes of the room go right and up or down.
struct RoomView {
    std::size_t across, down;
    bool up; ///< whether the second axis points up
    Area area;
    double scale;   ///< points per metre
    Point from_m{}; ///< the corner of the area: before the room's own where a recess lies there

    Spot spot(double a, double b) const;
    Spot spot(const Point& at) const { return spot(at[across], at[down]); }
    /// What a box in the room covers of the view.
    std::vector<Spot> rectangle(const Point& from, const Point& to) const;
};

/// What would be named where there is space.
struct PartName {
    enum class On { hatch, paper, bar }; ///< a bar is not written on
    Spot at;
    std::string words;
    On on = On::paper;
    Area mark = {}; ///< what it names
};

/// Draws the walls, open to the recesses in the plane of the view, solid parts hatched, recesses behind a
/// wall as thin dashes, and patches as a bar on their wall or, seen from before, as dashes. The room must be
/// a box.
std::vector<PartName> draw_walls(Canvas& canvas, const JobRoom& room, const RoomView& view);

} // namespace ebbmark
