// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/room_sketch.hpp"

#include "proof/charts/room_view.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/words/proof_room_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double narrow_width = 450; ///< below it the views stand one above the other
constexpr double gap_m = 0.55;       ///< between the views, with the names of walls

/// The solid between a trap and its wall, or walls, as its outline in a view.
std::vector<Spot> outline_of(const Box& box, const TrapPlace& place, double depth, const RoomView& view) {
    const auto covered = covered_walls(box, place, depth);
    Point from{}, to{};
    const auto spread = [&](const WallRectangle& rectangle) {
        const auto axes = axes_along(rectangle.wall);
        for (std::size_t k = 0; k < 2; ++k)
            from[axes[k]] = rectangle.from_m[k], to[axes[k]] = rectangle.to_m[k];
    };
    for (const CoveredWall& wall : covered)
        spread(wall.rectangle);
    const std::size_t upright = axis_of(place.wall);
    if (covered.size() == 1) {
        const double wall = is_far(place.wall) ? box.edges_m[upright] : 0;
        from[upright] = is_far(place.wall) ? wall - depth : wall;
        to[upright] = from[upright] + depth;
    }
    const double a0 = from[view.across], a1 = to[view.across], b0 = from[view.down], b1 = to[view.down];
    if (covered.size() == 2) {
        const std::size_t other = axis_of(*place.corner_with);
        const bool along_edge =
            (upright == view.across || other == view.across) && (upright == view.down || other == view.down);
        if (along_edge) {
            std::vector<Spot> corners;
            for (const auto& [at_wall, at_other] : corner_outline(box, place, depth))
                corners.push_back(upright == view.across ? view.spot(at_wall, at_other)
                                                         : view.spot(at_other, at_wall));
            return corners;
        }
    }
    return {view.spot(a0, b0), view.spot(a1, b0), view.spot(a1, b1), view.spot(a0, b1)};
}

Spot middle_of(const std::vector<Spot>& corners) {
    Spot sum;
    for (const Spot& corner : corners)
        sum = {sum.x + corner.x, sum.y + corner.y};
    const double count = static_cast<double>(corners.size());
    return {sum.x / count, sum.y / count};
}

Area around(const std::vector<Spot>& corners) {
    Area area{1e9, 1e9, -1e9, -1e9};
    for (const Spot& corner : corners)
        area = {std::min(area.left, corner.x), std::min(area.top, corner.y), std::max(area.right, corner.x),
                std::max(area.bottom, corner.y)};
    return area;
}

double common_area(const Area& one, const Area& other) {
    return std::max(0.0, std::min(one.right, other.right) - std::max(one.left, other.left)) *
           std::max(0.0, std::min(one.bottom, other.bottom) - std::max(one.top, other.top));
}

class Sketch {
  public:
    Sketch(Canvas& canvas, const JobDescription& job, SketchOf which, Units units, double font)
        : canvas_(canvas), job_(job), which_(which), units_(units), font_(font) {}

    void draw(const RoomView& view, texts::Text heading) {
        const Area& area = view.area;
        taken_.clear();
        traps_.clear();
        canvas_.text({area.left, area.top - 0.7 * font_}, std::string(heading), {font_, palette::ink, true});
        const auto parts = draw_walls(canvas_, job_.room, view);
        names_.clear();
        for (std::size_t i = 0; i < job_.traps.size(); ++i)
            trap(view, job_.traps[i], trap_letter(i));
        for (const SourcePlace& source : job_.sources)
            marker(view, source.at_m, MarkerShape::triangle, source.id, MarkerInside::colour,
                   palette::before);
        for (const MicrophonePlace& microphone : job_.microphones)
            marker(view, microphone.at_m, MarkerShape::circle, microphone.id,
                   microphone.listening ? MarkerInside::colour : MarkerInside::paper, palette::after);
        for (const Name& name : names_)
            place_name(view, name);
        name_parts(view, parts);
        edges(view);
    }

  private:
    struct Name {
        Spot at;
        std::string words;
        Colour colour;
        bool centred;          ///< on its place, else beside it
        bool optional = false; ///< left out where there is no space
        bool on_hatch = false; ///< wants paper under it
    };

    void trap(const RoomView& view, const JobTrap& trap, const std::string& letter) {
        const Box& box = *job_.room.box;
        const bool built = which_ == SketchOf::built && trap.built;
        const bool moved = built && trap.built->place;
        const auto& layers = built && !trap.built->layers.empty() ? trap.built->layers : trap.layers;
        if (moved)
            canvas_.add(Path{outline_of(box, trap.place, depth_m(trap.layers), view),
                             true,
                             {},
                             Stroke{palette::quiet, 0.7, {3, 2}},
                             {}});
        const auto outline = outline_of(box, moved ? *trap.built->place : trap.place, depth_m(layers), view);
        canvas_.add(Path{outline, true, palette::promised, Stroke{palette::third, 0.9, {}}, trap.name});
        const Spot middle = middle_of(outline);
        for (Name& name : names_) // one behind the other in this view
            if (name.centred && std::hypot(name.at.x - middle.x, name.at.y - middle.y) < 0.8 * font_) {
                name.words += "\u00a0" + letter;
                return;
            }
        names_.push_back({middle, letter, palette::ink, true});
        traps_.push_back(around(outline));
    }

    void marker(const RoomView& view, const Point& at, MarkerShape shape, const std::string& name,
                MarkerInside inside, const Colour& colour) {
        const Spot spot = view.spot(at);
        const double size = 0.34 * font_;
        draw_marker(canvas_, spot, shape, size, colour, inside, name);
        taken_.push_back({spot.x - size, spot.y - size, spot.x + size, spot.y + size});
        names_.push_back({spot, name, colour, false});
    }

    void name_parts(const RoomView& view, std::vector<PartName> parts) {
        for (PartName& part : parts) {
            // What is too small to be written on is named beside it.
            if (part.on == PartName::On::hatch &&
                (part.mark.right - part.mark.left < text_width(part.words, {font_, palette::quiet}) ||
                 part.mark.bottom - part.mark.top < font_))
                part.on = PartName::On::bar;
            if (part.on == PartName::On::bar)
                taken_.push_back(part.mark);
        }
        for (const PartName& part : parts)
            place_name(view, {part.at, part.words, palette::quiet, part.on != PartName::On::bar, true,
                              part.on == PartName::On::hatch});
    }

    /// Beside its point where nothing else stands, and always inside the room.
    void place_name(const RoomView& view, const Name& asked) {
        const auto& [at, name, colour, centred, optional, on_hatch] = asked;
        const TextStyle style{optional ? 0.9 * font_ : font_, colour, !optional, false, Anchor::middle};
        const double half = text_width(name, style) / 2, away = half + 0.55 * font_;
        const std::vector<Spot> tries = {centred ? Spot{0, 0} : Spot{away, 0},
                                         {away, 0},
                                         {-away, 0},
                                         {0, -0.95 * font_},
                                         {0, 0.95 * font_},
                                         {away, -0.9 * font_},
                                         {-away, -0.9 * font_},
                                         {away, 0.9 * font_},
                                         {-away, 0.9 * font_}};
        Area best{};
        double least = 1e9;
        for (const Spot& by : tries) {
            const double x = std::clamp(at.x + by.x, view.area.left + half + 1, view.area.right - half - 1);
            const double y =
                std::clamp(at.y + by.y, view.area.top + 0.6 * font_, view.area.bottom - 0.6 * font_);
            const Area box{x - half, y - 0.5 * font_, x + half, y + 0.5 * font_};
            double covered = 0;
            for (const Area& other : taken_)
                covered += common_area(box, other);
            if (!centred || optional) // a place's name belongs into no trap, if it can be helped
                for (const Area& trap : traps_)
                    covered += 0.3 * common_area(box, trap);
            if (covered < least - 1e-6)
                least = covered, best = box;
        }
        if (optional && least > 0.5)
            return;
        taken_.push_back(best);
        if (on_hatch)
            canvas_.box({best.left - 1, best.top}, best.right - best.left + 2, best.bottom - best.top,
                        palette::paper);
        canvas_.text({(best.left + best.right) / 2, best.bottom - 0.15 * font_}, name, style);
    }

    /// The view's two lengths outside its edges.
    void edges(const RoomView& view) {
        const TextStyle style{font_, palette::quiet, false, false, Anchor::middle};
        const Area& area = view.area;
        const auto& lengths = job_.room.box->edges_m;
        const Spot middle = view.spot(lengths[view.across] / 2, lengths[view.down] / 2);
        canvas_.text({middle.x, area.bottom + 1.2 * font_}, length_text(lengths[view.across], units_), style);
        TextStyle turned = style;
        turned.turn_degrees = -90;
        canvas_.text({area.left - 0.5 * font_, middle.y}, length_text(lengths[view.down], units_), turned);
    }

    Canvas& canvas_;
    const JobDescription& job_;
    SketchOf which_;
    Units units_;
    double font_;
    std::vector<Name> names_; ///< placed when all marks are known
    std::vector<Area> taken_, traps_;
};

void draw_scale(Canvas& canvas, Spot at, double scale, Units units, double font) {
    const double metres = units == Units::metric ? 1 : 0.9144;
    const double length = scale * metres;
    canvas.line(at, {at.x + length, at.y}, {palette::ink, 1, {}});
    for (const double end : {0.0, length})
        canvas.line({at.x + end, at.y - 2}, {at.x + end, at.y + 2}, {palette::ink, 1, {}});
    canvas.text({at.x + length + 0.6 * font, at.y + 0.35 * font},
                units == Units::metric ? "1\u00a0m" : "3\u00a0ft", {font, palette::quiet});
}

/// With its recesses.
std::array<double, 3> lengths_m(const RoomShape& room) {
    const auto [from, to] = room.bounds_m();
    return {to[0] - from[0], to[1] - from[1], to[2] - from[2]};
}

} // namespace

std::string trap_letter(std::size_t index) {
    const std::string letter(1, static_cast<char>('A' + index % 26));
    return index < 26 ? letter : letter + std::to_string(index / 26 + 1);
}

double sketch_height(const RoomShape& room, PageWidth page) {
    const auto [x, y, z] = lengths_m(room);
    constexpr double most_height = 0.5; // of the width: half a page is enough for a sketch
    const double pads = 0.20;           // headings, lengths and the scale, as part of the width
    return page == PageWidth::narrow
               ? (x + z) / std::max(x, y) * 0.86 + 2 * pads
               : std::min(most_height, std::max(x, z) / (y + gap_m + x) * 0.92 + pads / 2);
}

Canvas room_sketch(const JobDescription& job, SketchOf which, Units units, const ChartSize& size) {
    const RoomShape room{*job.room.box, job.room.parts};
    const Point from = room.bounds_m()[0];
    const auto [x, y, z] = lengths_m(room);
    const double font = size.font, side = 1.6 * font, top = 1.8 * font, below = 1.8 * font;
    const bool narrow = size.width < narrow_width;
    const double width = size.width - 2 * side, scale_bar = 2 * font;
    const double height = size.height - (narrow ? 2 : 1) * (top + below) - scale_bar;
    // Heavily elongated rooms: whatever fits both ways.
    const double scale = narrow ? std::min(width / std::max(x, y), height / (x + z))
                                : std::min(width / (y + gap_m + x), height / std::max(x, z));
    Canvas canvas(size.width, size.height);
    const Area plan{side, top, side + scale * y, top + scale * x};
    const double left = narrow ? side : plan.right + scale * gap_m + side / 2;
    const double floor = narrow ? plan.bottom + below + top + scale * z : top + scale * std::max(x, z);
    const Area elevation{left, floor - scale * z, left + scale * x, floor};
    Sketch sketch(canvas, job, which, units, font);
    sketch.draw({1, 0, false, plan, scale, from}, texts::sketch_plan);
    sketch.draw({0, 2, true, elevation, scale, from}, texts::sketch_elevation);
    draw_scale(canvas, {side, std::max(plan.bottom, floor) + below + 0.8 * font}, scale, units, font);
    return canvas;
}

} // namespace ebbmark
