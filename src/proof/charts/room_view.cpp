// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/room_view.hpp"

#include "proof/draw/palette.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

constexpr double wall_width = 1.4, bar_width = 3.2;

Spot middle(const std::vector<Spot>& corners) {
    return {(corners[0].x + corners[2].x) / 2, (corners[0].y + corners[2].y) / 2};
}

Area around(const Spot& a, const Spot& b, double beyond) {
    return {std::min(a.x, b.x) - beyond, std::min(a.y, b.y) - beyond, std::max(a.x, b.x) + beyond,
            std::max(a.y, b.y) + beyond};
}

Wall wall_at(std::size_t axis, bool far) {
    return all_walls[2 * axis + (far ? 1 : 0)];
}

bool in_plane(const RoomView& view, Wall wall) {
    return axis_of(wall) == view.across || axis_of(wall) == view.down;
}

/// The recesses behind a wall as the view shows them, along `along`; one before another is left out.
std::vector<const RoomPart*> mouths(const JobRoom& room, Wall wall, std::size_t along) {
    std::vector<const RoomPart*> all;
    for (const RoomPart& part : room.parts)
        if (part.kind == RoomPart::Kind::recess && touched(*room.box, part, wall) &&
            std::all_of(all.begin(), all.end(), [&](const RoomPart* other) {
                return part.from_m[along] >= other->to_m[along] || part.to_m[along] <= other->from_m[along];
            }))
            all.push_back(&part);
    std::sort(all.begin(), all.end(),
              [&](const RoomPart* a, const RoomPart* b) { return a->from_m[along] < b->from_m[along]; });
    return all;
}

/// One side of the outline, around the recesses behind its wall.
void add_side(std::vector<Spot>& points, const JobRoom& room, const RoomView& view, Wall wall, bool falling) {
    const std::size_t out = axis_of(wall), along = out == view.across ? view.down : view.across;
    const double at_wall = is_far(wall) ? room.box->edges_m[out] : 0;
    const auto add = [&](double a, double b) {
        points.push_back(along == view.across ? view.spot(a, b) : view.spot(b, a));
    };
    auto recesses = mouths(room, wall, along);
    if (falling)
        std::reverse(recesses.begin(), recesses.end());
    add(falling ? room.box->edges_m[along] : 0, at_wall);
    for (const RoomPart* part : recesses) {
        const double begin = falling ? part->to_m[along] : part->from_m[along];
        const double end = falling ? part->from_m[along] : part->to_m[along];
        const double back = is_far(wall) ? part->to_m[out] : part->from_m[out];
        add(begin, at_wall), add(begin, back), add(end, back), add(end, at_wall);
    }
}

void draw_outline(Canvas& canvas, const JobRoom& room, const RoomView& view) {
    std::vector<Spot> points;
    const bool up = view.up; // begins at the top left of the paper
    add_side(points, room, view, wall_at(view.down, up), false);
    add_side(points, room, view, wall_at(view.across, true), up);
    add_side(points, room, view, wall_at(view.down, !up), true);
    add_side(points, room, view, wall_at(view.across, false), !up);
    canvas.add(Path{points, true, {}, Stroke{palette::ink, wall_width, {}}, {}});
}

/// Lines at 45° within a rectangle.
void hatch(Canvas& canvas, const Spot& from, const Spot& to) {
    constexpr double apart = 4;
    for (double sum = from.x + from.y + apart; sum < to.x + to.y; sum += apart)
        canvas.line({std::max(from.x, sum - to.y), std::min(to.y, sum - from.x)},
                    {std::min(to.x, sum - from.y), std::max(from.y, sum - to.x)}, {palette::quiet, 0.4, {}});
}

void draw_solid(Canvas& canvas, const RoomPart& part, const RoomView& view) {
    const auto corners = view.rectangle(part.from_m, part.to_m);
    canvas.add(Path{corners, true, palette::grid, Stroke{palette::ink, 0.7, {}}, part.name});
    const Area area = around(corners[0], corners[2], 0);
    hatch(canvas, {area.left, area.top}, {area.right, area.bottom});
}

/// A bar on the edge of the view where its wall is one, else its outline.
PartName draw_patch(Canvas& canvas, const JobRoom& room, const RoomPatch& patch, const RoomView& view) {
    const WallRectangle& face = patch.rectangle;
    Point from{}, to{};
    from[axis_of(face.wall)] = to[axis_of(face.wall)] =
        is_far(face.wall) ? room.box->edges_m[axis_of(face.wall)] : 0;
    const auto along = axes_along(face.wall);
    for (std::size_t i = 0; i < 2; ++i)
        from[along[i]] = face.from_m[i], to[along[i]] = face.to_m[i];
    const auto corners = view.rectangle(from, to);
    const Spot &first = corners[0], &last = corners[2];
    if (!in_plane(view, face.wall)) {
        canvas.add(Path{corners, true, {}, Stroke{palette::third, 0.9, {4, 2}}, patch.name});
        return {middle(corners), patch.name};
    }
    canvas.add(Path{{first, last}, false, {}, Stroke{palette::third, bar_width, {}}, patch.name});
    return {middle(corners), patch.name, PartName::On::bar, around(first, last, bar_width / 2)};
}

} // namespace

Spot RoomView::spot(double a, double b) const {
    const double right = scale * (a - from_m[across]), on = scale * (b - from_m[down]);
    return {area.left + right, up ? area.bottom - on : area.top + on};
}

std::vector<Spot> RoomView::rectangle(const Point& from, const Point& to) const {
    return {spot(from[across], from[down]), spot(to[across], from[down]), spot(to[across], to[down]),
            spot(from[across], to[down])};
}

std::vector<PartName> draw_walls(Canvas& canvas, const JobRoom& room, const RoomView& view) {
    std::vector<PartName> names;
    draw_outline(canvas, room, view);
    for (const RoomPart& part : room.parts) {
        const auto corners = view.rectangle(part.from_m, part.to_m);
        const bool solid = part.kind == RoomPart::Kind::solid;
        names.push_back({middle(corners), part.name, solid ? PartName::On::hatch : PartName::On::paper,
                         around(corners[0], corners[2], 0)});
        if (solid)
            draw_solid(canvas, part, view);
        else if (std::none_of(all_walls.begin(), all_walls.end(), [&](Wall wall) {
                     return in_plane(view, wall) && touched(*room.box, part, wall);
                 }))
            canvas.add(Path{corners, true, {}, Stroke{palette::quiet, 0.7, {1.5, 1.5}}, part.name});
    }
    for (const RoomPatch& patch : room.patches)
        names.push_back(draw_patch(canvas, room, patch, view));
    return names;
}

} // namespace ebbmark
