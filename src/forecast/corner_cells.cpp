// SPDX-License-Identifier: GPL-3.0-or-later
// Traps across a corner, at 45° to its walls: in slabs parallel to the face, each half a cell's diagonal
// deep.
#include "forecast/cell_builder.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::sqrt2;
using Half = CavityPart::Cut::Half;

class CornerTrap {
  public:
    CornerTrap(CellBuilder& builder, const PlacedTrap& trap, double step_m)
        : builder_(builder), plan_(trap.plan), place_(trap.place), one_(place_.wall),
          other_(*place_.corner_with), third_(3 - axis_of(one_) - axis_of(other_)) {
        const auto legs = covered_walls(builder.box(), place_, plan_.depth_m());
        face_depth_m_ = *legs[0].corner_depth_m;
        const WallRectangle& rectangle = legs[0].rectangle;
        const std::size_t i = axes_along(one_)[0] == third_ ? 0 : 1;
        ends_ = {rectangle.from_m[i], rectangle.to_m[i]};
        strips_along_ = third_ == 2 ? Dividers::Run::height : Dividers::Run::width;
        half_width_m_ = place_.across_m() / 2 - (place_.box_across ? frame_board_m(plan_, strips_along_) : 0);
        find_open_sides();
        slabs_ = slabs_for(step_m);
        edge_m_ = face_depth_m_ * sqrt2 / slabs_;
    }

    void add() {
        refine();
        // Cells i, j along both walls; their outer half lies in the slab that follows.
        for (int i = 0; i < slabs_; ++i)
            for (int j = 0; i + j < slabs_; ++j)
                if (i + j + 1 >= first_slab() && within(i - j))
                    add_cell(i, j);
        add_cloth();
    }

  private:
    /// Lines of its own, one step farther than the face reaches along the walls.
    void refine() {
        Spans spans{};
        std::array<std::vector<double>, 3> lines;
        for (const Wall wall : {one_, other_}) {
            const std::size_t axis = axis_of(wall);
            const double edge = builder_.box().edges_m[axis];
            spans[axis] = builder_.span(wall, 0, std::min(edge, (slabs_ + 1) * edge_m_));
            for (int i = 0; i <= slabs_ + 1; ++i)
                lines[axis].push_back(builder_.span(wall, i * edge_m_, i * edge_m_)[0]);
        }
        spans[third_] = {0, builder_.box().edges_m[third_]};
        refinement_ = builder_.add_refinement(spans, std::move(lines));
    }

    void find_open_sides() {
        const OpenSides& open = plan_.open_sides;
        if (third_ == 2) {
            open_ends_ = {open.bottom, open.top};
            // Who faces the corner has on the right the wall whose own corner lies on the left.
            const bool one_is_right = left_is_smaller(one_) != is_far(other_);
            open_beside_ = {one_is_right ? open.left : open.right, one_is_right ? open.right : open.left};
        } else {
            const Wall upright = axis_of(one_) == 2 ? other_ : one_;
            const bool left = left_is_smaller(upright);
            open_ends_ = {left ? open.left : open.right, left ? open.right : open.left};
            // Cells far along the upright wall reach away from floor or ceiling, those far along it away from
            // the wall.
            const bool at_ceiling = is_far(axis_of(one_) == 2 ? one_ : other_);
            const bool along_wall_is_top = !at_ceiling;
            const bool wall_is_one = upright == one_;
            const bool larger_is_top = wall_is_one ? along_wall_is_top : !along_wall_is_top;
            open_beside_ = {larger_is_top ? open.bottom : open.top, larger_is_top ? open.top : open.bottom};
        }
    }

    /// As many as the step asks for, about. How a box leaks where its back edges touch the walls depends on
    /// where in a cell they stand: with open sides on a node, with closed ones before it, come nearest to
    /// cases computed otherwise (trap_reference).
    int slabs_for(double step_m) const {
        const int wanted = std::max(4, static_cast<int>(std::lround(face_depth_m_ * sqrt2 / step_m)));
        if (!place_.box_across)
            return wanted;
        const double target = open_beside_[0] || open_beside_[1] ? 0 : 0.8;
        int best = wanted;
        double least = 1;
        for (int count = wanted - wanted / 4; count <= wanted + wanted / 4; ++count) {
            const double place = back_m() * count / face_depth_m_ - target;
            const double off = std::abs(place - std::round(place));
            if (off < least - 1e-9)
                least = off, best = count;
        }
        return best;
    }
    /// From the corner to the back edges of a box.
    double back_m() const { return place_.across_m() / 2; }

    /// A box has air behind it.
    int first_slab() const {
        return place_.box_across ? static_cast<int>(std::floor(back_m() / slab_m() + 1e-9)) : 0;
    }
    double slab_m() const { return edge_m_ / sqrt2; }

    /// Whether the cells at i − j lie within the frame's sides.
    bool within(int beside) const {
        return !place_.box_across || std::abs(beside) < std::lround(back_m() / slab_m());
    }

    bool between_strips(const LayerPlan& layer, int beside) const {
        if (!layer.dividers || !place_.box_across)
            return layer.dividers.has_value();
        // Strips that run across the face reach from side to side.
        return layer.dividers->run != strips_along_ ||
               std::abs(beside) * slab_m() <= strips_in(*layer.dividers, 2 * half_width_m_).between_m / 2;
    }

    Spans spans_of(int i, int j) const {
        Spans spans{};
        spans[axis_of(other_)] = builder_.span(other_, i * edge_m_, (i + 1) * edge_m_);
        spans[axis_of(one_)] = builder_.span(one_, j * edge_m_, (j + 1) * edge_m_);
        spans[third_] = ends_;
        return spans;
    }

    void add_cell(int i, int j) {
        const Spans spans = spans_of(i, j);
        CavityPart part;
        part.refinement = refinement_;
        CavityPart::Cut cut;
        cut.axes = {std::min(axis_of(one_), axis_of(other_)), std::max(axis_of(one_), axis_of(other_))};
        cut.rising = is_far(one_) != is_far(other_);
        const Wall lower = axis_of(one_) < axis_of(other_) ? one_ : other_;
        const std::size_t inner = is_far(lower) ? 1 : 0; // the half nearer to the corner
        cut.halves[inner] = half_in(i + j, i - j);
        cut.halves[1 - inner] = half_in(i + j + 1, i - j);
        part.cut = cut;
        // Where another trap's edge parts the cell.
        part.fluid = cut.halves[inner].fluid;
        part.density[third_] = cut.halves[inner].third;
        builder_.add_part(spans, part);
        for (std::size_t end = 0; end < 2; ++end)
            if (!open_ends_[end])
                builder_.add_screen(third_, ends_[end], spans, CavityScreen::closed, {}, refinement_);
        if (place_.box_across)
            close_sides(i, j, spans);
    }

    void close_sides(int i, int j, const Spans& spans) {
        const std::size_t a = axis_of(other_), b = axis_of(one_);
        const auto close = [&](std::size_t axis, bool at_larger, std::optional<Wall> ajar_at = {}) {
            builder_.add_screen(axis, spans[axis][at_larger ? 1 : 0], spans, CavityScreen::closed, ajar_at,
                                refinement_);
        };
        // The outer sides belong to the slab of the outer half, the inner ones to that of the inner half.
        const bool outer = i + j + 1 < slabs_, inner = i + j >= first_slab();
        if (!open_beside_[1] && !within(i - j + 1)) {
            if (outer)
                close(a, !is_far(other_), j == 0 ? std::optional(one_) : std::nullopt);
            if (inner && j > 0)
                close(b, is_far(one_));
        }
        if (!open_beside_[0] && !within(i - j - 1)) {
            if (outer)
                close(b, !is_far(one_), i == 0 ? std::optional(other_) : std::nullopt);
            if (inner && i > 0)
                close(a, is_far(other_));
        }
    }

    /// Of a slab's volume, from one depth behind the face to another: a filled corner is wider outside.
    double share_of(double from_m, double to_m, int slab) const {
        if (place_.box_across)
            return (to_m - from_m) / slab_m();
        const double outer = slabs_ - from_m / slab_m(), inner = slabs_ - to_m / slab_m();
        return (outer * outer - inner * inner) / (2 * slab + 1);
    }

    /// What lies in a slab, of the cells at i − j.
    Half half_in(int slab, int beside) {
        const double outer = (slabs_ - slab - 1) * slab_m();
        CellFluid through, along;
        bool still_along = false, still_third = false;
        double depth = 0;
        std::vector<double> key;
        for (std::size_t l = plan_.layers.size(); l-- > 0;) {
            LayerPlan layer = plan_.layers[l];
            const double from = std::max(outer, depth),
                         to = std::min(outer + slab_m(), depth += layer.thickness_m);
            if (!is_porous(layer) || to - from < 1e-6 * slab_m())
                continue;
            const double part = share_of(from, to, slab);
            double longer = 1;
            if (!between_strips(layer, beside))
                layer.dividers.reset();
            if (layer.dividers) {
                longer = strips_of(*layer.dividers, layer.thickness_m).lengthening;
                (layer.dividers->run == strips_along_ ? still_along : still_third) |= part > 0.5;
            }
            key.insert(key.end(), {static_cast<double>(l), part, layer.dividers ? 1.0 : 0.0});
            through.parts.push_back({layer, part, longer});
            along.parts.push_back({layer, part, 1});
        }
        const auto [known, is_new] = halves_.try_emplace(key);
        if (is_new && !through.parts.empty()) {
            along.beside = true;
            const int fluid = builder_.fluid_of(through);
            const int as_beside = builder_.fluid_of(along);
            known->second = {fluid, fluid, still_along ? CavityPart::still : as_beside,
                             still_third ? CavityPart::still : as_beside};
        }
        return known->second;
    }

    /// On the outer sides of the outermost row, whose steps are longer than the face.
    void add_cloth() {
        std::vector<LayerPlan> cloths;
        for (const LayerPlan& layer : plan_.layers)
            if (layer.material.kind == LayerKind::cloth)
                cloths.push_back(layer);
        if (cloths.empty())
            return;
        int cells = 0;
        for (int i = 0; i < slabs_; ++i)
            cells += within(2 * i - slabs_ + 1) ? 1 : 0;
        const int cloth = builder_.cloth_of(std::move(cloths), 2 * cells * edge_m_ / place_.across_m());
        const std::size_t a = axis_of(other_), b = axis_of(one_);
        for (int i = 0; i < slabs_; ++i)
            if (within(2 * i - slabs_ + 1)) {
                const Spans spans = spans_of(i, slabs_ - 1 - i);
                builder_.add_screen(a, spans[a][is_far(other_) ? 0 : 1], spans, cloth, {}, refinement_);
                builder_.add_screen(b, spans[b][is_far(one_) ? 0 : 1], spans, cloth, {}, refinement_);
            }
    }

    CellBuilder& builder_;
    const TrapPlan& plan_;
    const TrapPlace& place_;
    Wall one_, other_;
    std::size_t third_;
    double face_depth_m_ = 0, edge_m_ = 0, half_width_m_ = 0;
    int slabs_ = 0; ///< from the corner to the face
    int refinement_ = -1;
    std::array<double, 2> ends_{};
    std::array<bool, 2> open_ends_{};   ///< along the third axis
    std::array<bool, 2> open_beside_{}; ///< of a box: where j is larger than i, and where i is larger
    Dividers::Run strips_along_{};      ///< that run along the corner
    std::map<std::vector<double>, Half> halves_;
};

} // namespace

void add_corner_trap(CellBuilder& builder, const PlacedTrap& trap, double step_m) {
    CornerTrap(builder, trap, step_m).add();
}

} // namespace ebbmark
