// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_grid.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace ebbmark {

namespace {

// Lines closer than this are one: far below every wavelength and every builder's accuracy.
constexpr double same_line_m = 0.002;

std::vector<double> lines_along(const CavityShape& shape, std::size_t axis) {
    const double edge = shape.box.edges_m[axis];
    std::vector<double> lines{0, edge};
    const auto add = [&](double place) {
        if (place > 0 && place < edge)
            lines.push_back(place);
    };
    for (const CavityPart& part : shape.parts)
        add(part.from_m[axis]), add(part.to_m[axis]);
    const auto add_rectangle = [&](std::size_t normal, const auto& from, const auto& to) {
        for (std::size_t other = 0, i = 0; other < 3; ++other)
            if (other != normal) {
                if (other == axis)
                    add(from[i]), add(to[i]);
                ++i;
            }
    };
    for (const CavityPatch& patch : shape.patches)
        add_rectangle(axis_of(patch.rectangle.wall), patch.rectangle.from_m, patch.rectangle.to_m);
    for (const CavityScreen& screen : shape.screens) {
        if (screen.axis == axis)
            add(screen.at_m);
        add_rectangle(screen.axis, screen.from_m, screen.to_m);
    }
    std::sort(lines.begin(), lines.end());
    std::vector<double> apart{0};
    for (const double line : lines)
        if (line - apart.back() > same_line_m)
            apart.push_back(line);
    if (edge - apart.back() < same_line_m)
        apart.back() = edge;
    return apart;
}

/// Whether a part of this kind ends where this segment does.
template <class Kind>
bool fills(const CavityShape& shape, std::size_t axis, double from, double to, const Kind& kind) {
    return std::any_of(shape.parts.begin(), shape.parts.end(), [&](const CavityPart& part) {
        return kind(part) && std::abs(part.from_m[axis] - from) < same_line_m &&
               std::abs(part.to_m[axis] - to) < same_line_m;
    });
}

/// A polynomial of order p carries a wave of `radians` per segment up to an error of about (radians/2p)^2p
/// (M. Ainsworth, SIAM J. Numer. Anal. 42 (2004) 553, gives the decay with p); the limit keeps modes of boxes
/// within 0.05 % (cavity_scenarios). Near a trap's edges the field bends whatever the wavelength.
int order_for(double radians, double length_m) {
    constexpr double limit = 0.003;
    int order = length_m > 1 ? 5 : length_m > 0.25 ? 3 : 2;
    while (std::pow(radians / (2 * order), 2 * order) > limit)
        ++order;
    return order;
}

struct Joined { // disjoint sets
    std::vector<int> parent;

    explicit Joined(std::size_t count) : parent(count) { std::iota(parent.begin(), parent.end(), 0); }
    int root(int node) {
        while (parent[static_cast<std::size_t>(node)] != node)
            node = parent[static_cast<std::size_t>(node)] =
                parent[static_cast<std::size_t>(parent[static_cast<std::size_t>(node)])];
        return node;
    }
    void join(int a, int b) {
        a = root(a), b = root(b);
        parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
    }
};

bool between(double from, double value, double to) {
    return from <= value && value <= to;
}

double middle_of(const GridCell& cell, std::size_t axis) {
    return cell.from_m[axis] + cell.size_m[axis] / 2;
}

/// The last part that holds the cell; none: air.
const CavityPart* part_at(const CavityShape& shape, const GridCell& cell) {
    const CavityPart* last = nullptr;
    for (const CavityPart& part : shape.parts) {
        bool inside = true;
        for (std::size_t axis = 0; axis < 3; ++axis)
            inside = inside && between(part.from_m[axis], middle_of(cell, axis), part.to_m[axis]);
        if (inside)
            last = &part;
    }
    return last;
}

bool inside(const GridCell& cell, std::size_t normal, const std::array<double, 2>& from,
            const std::array<double, 2>& to) {
    bool result = true;
    for (std::size_t axis = 0, i = 0; axis < 3; ++axis)
        if (axis != normal) {
            result = result && between(from[i], middle_of(cell, axis), to[i]);
            ++i;
        }
    return result;
}

const CavityScreen* screen_at(const CavityShape& shape, const GridCell& cell, std::size_t axis) {
    const double face = cell.from_m[axis] + cell.size_m[axis];
    for (const CavityScreen& screen : shape.screens)
        if (screen.axis == axis && std::abs(screen.at_m - face) < same_line_m &&
            inside(cell, axis, screen.from_m, screen.to_m))
            return &screen;
    return nullptr;
}

std::size_t surface_at(const CavityShape& shape, const GridCell& cell, std::size_t axis, bool far) {
    std::size_t surface = 2 * axis + (far ? 1 : 0);
    const bool at_wall = far ? cell.from_m[axis] + cell.size_m[axis] >= shape.box.edges_m[axis] - same_line_m
                             : cell.from_m[axis] <= same_line_m;
    for (const CavityPatch& patch : shape.patches)
        if (at_wall && patch.rectangle.wall == all_walls[2 * axis + (far ? 1 : 0)] &&
            inside(cell, axis, patch.rectangle.from_m, patch.rectangle.to_m))
            surface = patch.surface;
    return surface;
}

class Builder {
  public:
    Builder(const CavityShape& shape, std::array<GridAxis, 3> axes) : shape_(shape) {
        grid_.axes = std::move(axes);
    }

    CavityGrid build() {
        add_cells();
        for (std::size_t cell = 0; cell < grid_.cells.size(); ++cell)
            for (std::size_t axis = 0; axis < 3; ++axis)
                look_at_sides(cell, axis);
        number_unknowns();
        return std::move(grid_);
    }

  private:
    std::size_t segments(std::size_t axis) const { return grid_.axes[axis].orders.size(); }

    void add_cells() {
        place_.assign(segments(0) * segments(1) * segments(2), -1);
        std::array<std::size_t, 3> at{};
        for (at[2] = 0; at[2] < segments(2); ++at[2])
            for (at[1] = 0; at[1] < segments(1); ++at[1])
                for (at[0] = 0; at[0] < segments(0); ++at[0])
                    add_cell(at);
        if (grid_.cells.empty())
            throw Error(ErrorKind::unusable, "the room's solid parts leave no air in it");
    }

    void add_cell(const std::array<std::size_t, 3>& at) {
        GridCell cell;
        cell.at = at;
        std::size_t nodes = 1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const auto& lines = grid_.axes[axis].lines_m;
            cell.from_m[axis] = lines[at[axis]];
            cell.size_m[axis] = lines[at[axis] + 1] - lines[at[axis]];
            cell.orders[axis] = grid_.axes[axis].orders[at[axis]];
            nodes *= static_cast<std::size_t>(cell.orders[axis] + 1);
        }
        const CavityPart* part = part_at(shape_, cell);
        cell.fluid = part == nullptr ? 0 : part->fluid;
        if (cell.fluid == no_fluid)
            return;
        cell.density_of.fill(cell.fluid);
        if (part != nullptr && part->cut && whole(*part, cell))
            cell.cut = part->cut;
        for (std::size_t axis = 0; part != nullptr && axis < 3; ++axis)
            if (part->density[axis] != CavityPart::own_density)
                cell.density_of[axis] = part->density[axis];
        cell.unknowns.resize(nodes);
        std::iota(cell.unknowns.begin(), cell.unknowns.end(), nodes_);
        nodes_ += static_cast<int>(nodes);
        place_[slot(at)] = static_cast<int>(grid_.cells.size());
        grid_.cells.push_back(std::move(cell));
    }

    /// Whether the cell reaches from edge to edge of a cut part, with linear functions.
    static bool whole(const CavityPart& part, const GridCell& cell) {
        return std::all_of(part.cut->axes.begin(), part.cut->axes.end(), [&](std::size_t axis) {
            return cell.orders[axis] == 1 && std::abs(part.from_m[axis] - cell.from_m[axis]) < same_line_m &&
                   std::abs(part.to_m[axis] - part.from_m[axis] - cell.size_m[axis]) < same_line_m;
        });
    }

    std::size_t slot(const std::array<std::size_t, 3>& at) const {
        return at[0] + segments(0) * (at[1] + segments(1) * at[2]);
    }

    /// Index of the neighbour, −1 where there is none.
    int neighbour(const GridCell& cell, std::size_t axis, bool far) const {
        auto at = cell.at;
        if (far ? at[axis] + 1 == segments(axis) : at[axis] == 0)
            return -1;
        at[axis] += far ? 1 : static_cast<std::size_t>(-1);
        return place_[slot(at)];
    }

    void look_at_sides(std::size_t index, std::size_t axis) {
        const GridCell& cell = grid_.cells[index];
        for (const bool far : {false, true}) {
            const int beyond = neighbour(cell, axis, far);
            if (beyond < 0)
                grid_.surfaces.push_back({index, axis, far, surface_at(shape_, cell, axis, far)});
            else if (far)
                meet(index, static_cast<std::size_t>(beyond), axis);
        }
    }

    void meet(std::size_t index, std::size_t beyond, std::size_t axis) {
        const GridCell& cell = grid_.cells[index];
        const CavityScreen* screen = screen_at(shape_, cell, axis);
        if (screen == nullptr)
            joints_.push_back({index, beyond, axis, {}});
        else if (screen->ajar_at)
            joints_.push_back({index, beyond, axis, screen->ajar_at});
        else if (screen->cloth != CavityScreen::closed)
            grid_.cloths.push_back({index, beyond, axis, static_cast<std::size_t>(screen->cloth)});
    }

    /// Two cells whose nodes are the same, all or those at a wall.
    struct Joint {
        std::size_t cell, beyond, axis;
        std::optional<Wall> only_at;
    };

    static bool at_wall(const GridCell& cell, std::size_t node, Wall wall) {
        for (std::size_t axis = 0; axis < axis_of(wall); ++axis)
            node /= static_cast<std::size_t>(cell.orders[axis] + 1);
        const auto order = static_cast<std::size_t>(cell.orders[axis_of(wall)]);
        return node % (order + 1) == (is_far(wall) ? order : 0);
    }

    void number_unknowns() {
        Joined joined(static_cast<std::size_t>(nodes_));
        for (const Joint& joint : joints_) {
            const GridCell &one = grid_.cells[joint.cell], &other = grid_.cells[joint.beyond];
            const auto here = side_nodes(one.orders, joint.axis, CellSide::high);
            const auto there = side_nodes(other.orders, joint.axis, CellSide::low);
            for (std::size_t i = 0; i < here.size(); ++i)
                if (!joint.only_at || at_wall(one, here[i], *joint.only_at))
                    joined.join(one.unknowns[here[i]], other.unknowns[there[i]]);
        }
        std::vector<int> number(static_cast<std::size_t>(nodes_), -1);
        for (GridCell& cell : grid_.cells)
            for (int& unknown : cell.unknowns) {
                int& own = number[static_cast<std::size_t>(joined.root(unknown))];
                if (own < 0)
                    own = grid_.unknowns++;
                unknown = own;
            }
    }

    const CavityShape& shape_;
    CavityGrid grid_;
    std::vector<int> place_;
    std::vector<Joint> joints_;
    int nodes_ = 0;
};

} // namespace

std::array<GridAxis, 3> grid_axes(const CavityShape& shape, double to_hz, double speed_of_sound, int finer) {
    std::array<GridAxis, 3> axes;
    const double wave_number = 2 * std::numbers::pi * to_hz / speed_of_sound;
    constexpr double longest = 6.5; // radians in one segment: one wavelength
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto edges = lines_along(shape, axis);
        axes[axis].lines_m.push_back(edges.front());
        for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
            const double length = edges[i + 1] - edges[i];
            const int parts = std::max(1, static_cast<int>(std::ceil(wave_number * length / longest)));
            const double radians = wave_number * length / parts;
            const auto filled = [&](const auto& kind) {
                return fills(shape, axis, edges[i], edges[i + 1], kind);
            };
            // In wool waves are shorter.
            const bool layer = length > 0.08 && length < 0.4 &&
                               filled([](const CavityPart& part) { return part.fluid > 0 && !part.step; });
            const bool step = length < 0.15 && filled([](const CavityPart& part) { return part.step; });
            const int order = step ? 1 : order_for(radians, length / parts) + (layer ? 1 : 0);
            for (int part = 1; part <= parts; ++part) {
                axes[axis].lines_m.push_back(edges[i] + length * part / parts);
                axes[axis].orders.push_back(step ? order : order + finer);
            }
        }
    }
    return axes;
}

std::size_t CavityGrid::cell_at(const Point& point) const {
    for (std::size_t i = 0; i < cells.size(); ++i) {
        bool holds = true;
        for (std::size_t axis = 0; axis < 3; ++axis)
            holds = holds && between(cells[i].from_m[axis], point[axis],
                                     cells[i].from_m[axis] + cells[i].size_m[axis]);
        if (holds)
            return i;
    }
    return cells.size();
}

std::vector<std::size_t> side_nodes(const std::array<int, 3>& orders, std::size_t axis, CellSide side) {
    std::vector<std::size_t> nodes;
    std::array<int, 3> at{};
    std::size_t index = 0;
    for (at[2] = 0; at[2] <= orders[2]; ++at[2])
        for (at[1] = 0; at[1] <= orders[1]; ++at[1])
            for (at[0] = 0; at[0] <= orders[0]; ++at[0], ++index)
                if (at[axis] == (side == CellSide::high ? orders[axis] : 0))
                    nodes.push_back(index);
    return nodes;
}

CavityGrid cavity_grid(const CavityShape& shape, std::array<GridAxis, 3> axes) {
    return Builder(shape, std::move(axes)).build();
}

} // namespace ebbmark
