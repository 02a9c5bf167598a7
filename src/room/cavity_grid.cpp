// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_grid.hpp"

#include "algebra/dense.hpp"
#include "base/error.hpp"
#include "room/lobatto.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace ebbmark {

namespace {

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

/// The screen that parts the cell from what lies beyond its side at `face_m`.
const CavityScreen* screen_at(const CavityShape& shape, const GridCell& cell, std::size_t axis,
                              double face_m) {
    for (const CavityScreen& screen : shape.screens)
        if (screen.axis == axis && std::abs(screen.at_m - face_m) < same_line_m &&
            inside(cell, axis, screen.from_m, screen.to_m))
            return &screen;
    return nullptr;
}

std::size_t surface_at(const CavityShape& shape, const GridCell& cell, std::size_t axis, bool far) {
    std::size_t surface = 2 * axis + (far ? 1 : 0);
    const bool at_wall = far ? cell.from_m[axis] + cell.size_m[axis] >= shape.to_m(axis) - same_line_m
                             : cell.from_m[axis] <= shape.from_m[axis] + same_line_m;
    for (const CavityPatch& patch : shape.patches)
        if (at_wall && patch.rectangle.wall == all_walls[2 * axis + (far ? 1 : 0)] &&
            inside(cell, axis, patch.rectangle.from_m, patch.rectangle.to_m))
            surface = patch.surface;
    return surface;
}

/// Functions of a long segment between 0 and 1 in those of a shorter one from `from` to `to` in it: by
/// function of the shorter one, then of the longer. Both agree at the shorter one's nodes.
Eigen::MatrixXd traces(int long_order, int short_order, double from, double to) {
    const LobattoElement& whole = lobatto_element(long_order);
    const LobattoElement& part = lobatto_element(short_order);
    const auto place = [&](double x) { return 2 * (from + (to - from) * (x + 1) / 2) - 1; };
    Eigen::MatrixXd result(short_order + 1, long_order + 1);
    result.row(0) = whole.values_at(place(-1)).transpose();
    result.row(short_order) = whole.values_at(place(1)).transpose();
    if (short_order == 1)
        return result;
    // Values at the shorter one's nodes less the ends' share are those of its inner functions.
    Eigen::MatrixXd inner(short_order - 1, short_order - 1), rest(short_order - 1, long_order + 1);
    for (Eigen::Index i = 1; i < short_order; ++i) {
        const double x = part.nodes(i);
        inner.row(i - 1) = part.values_at(x).segment(1, short_order - 1).transpose();
        rest.row(i - 1) = whole.values_at(place(x)).transpose() - (1 - x) / 2 * result.row(0) -
                          (1 + x) / 2 * result.row(short_order);
    }
    result.middleRows(1, short_order - 1) = product(inverse_of(inner), rest);
    return result;
}

class Builder {
  public:
    Builder(const CavityShape& shape, const BlockGrid& blocks) : shape_(shape), lines_m_(blocks.lines_m) {
        for (std::size_t axis = 0; axis < 3; ++axis)
            grid_.segments[axis] = lines_m_[axis].size() - 1;
        place_.assign(grid_.segments[0] * grid_.segments[1] * grid_.segments[2], -1);
        for (const GridBlock& block : blocks.blocks)
            add_cells(block);
        if (grid_.cells.empty())
            throw Error(ErrorKind::unusable, "the room's solid parts leave no air in it");
    }

    CavityGrid build() {
        for (std::size_t cell = 0; cell < grid_.cells.size(); ++cell)
            for (std::size_t axis = 0; axis < 3; ++axis)
                look_at_sides(cell, axis);
        number_unknowns();
        return std::move(grid_);
    }

  private:
    using Place = std::array<std::size_t, 3>;

    void add_cells(const GridBlock& block) {
        Place at{};
        const auto count = [&](std::size_t axis) { return block.axes[axis].orders.size(); };
        for (at[2] = 0; at[2] < count(2); ++at[2])
            for (at[1] = 0; at[1] < count(1); ++at[1])
                for (at[0] = 0; at[0] < count(0); ++at[0])
                    add_cell(block, at);
    }

    void add_cell(const GridBlock& block, const Place& at) {
        GridCell cell;
        Place end{};
        std::size_t nodes = 1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const GridBlock::Axis& own = block.axes[axis];
            cell.at[axis] = static_cast<std::size_t>(own.lines[at[axis]]);
            end[axis] = static_cast<std::size_t>(own.lines[at[axis] + 1]);
            cell.from_m[axis] = lines_m_[axis][cell.at[axis]];
            cell.size_m[axis] = lines_m_[axis][end[axis]] - cell.from_m[axis];
            cell.orders[axis] = own.orders[at[axis]];
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
        Place slot = cell.at;
        for (slot[2] = cell.at[2]; slot[2] < end[2]; ++slot[2])
            for (slot[1] = cell.at[1]; slot[1] < end[1]; ++slot[1])
                for (slot[0] = cell.at[0]; slot[0] < end[0]; ++slot[0])
                    place_[index_of(slot)] = static_cast<int>(grid_.cells.size());
        grid_.cells.push_back(std::move(cell));
        ends_.push_back(end);
    }

    /// Whether the cell reaches from edge to edge of a cut part, with linear functions.
    static bool whole(const CavityPart& part, const GridCell& cell) {
        return std::all_of(part.cut->axes.begin(), part.cut->axes.end(), [&](std::size_t axis) {
            return cell.orders[axis] == 1 && std::abs(part.from_m[axis] - cell.from_m[axis]) < same_line_m &&
                   std::abs(part.to_m[axis] - part.from_m[axis] - cell.size_m[axis]) < same_line_m;
        });
    }

    std::size_t index_of(const Place& slot) const {
        return slot[0] + grid_.segments[0] * (slot[1] + grid_.segments[1] * slot[2]);
    }

    /// The cells that share a side with this one, rising.
    std::vector<std::size_t> neighbours(std::size_t index, std::size_t axis, bool far) const {
        std::vector<std::size_t> result;
        const Place &from = grid_.cells[index].at, &to = ends_[index];
        if (far ? to[axis] == grid_.segments[axis] : from[axis] == 0)
            return result;
        const std::size_t first = axis == 0 ? 1 : 0, second = axis == 2 ? 1 : 2;
        Place slot{};
        slot[axis] = far ? to[axis] : from[axis] - 1;
        for (slot[second] = from[second]; slot[second] < to[second]; ++slot[second])
            for (slot[first] = from[first]; slot[first] < to[first]; ++slot[first])
                if (const int beyond = place_[index_of(slot)]; beyond >= 0)
                    result.push_back(static_cast<std::size_t>(beyond));
        std::sort(result.begin(), result.end());
        result.erase(std::unique(result.begin(), result.end()), result.end());
        return result;
    }

    void look_at_sides(std::size_t index, std::size_t axis) {
        for (const bool far : {false, true}) {
            const auto beyond = neighbours(index, axis, far);
            if (beyond.empty())
                grid_.surfaces.push_back(
                    {index, axis, far, surface_at(shape_, grid_.cells[index], axis, far)});
            else if (far)
                for (const std::size_t other : beyond)
                    meet(index, other, axis);
        }
    }

    /// Along the sides that two cells share: whether the second's is as long as the first's or a part of it.
    bool holds(std::size_t index, std::size_t other, std::size_t axis) const {
        for (std::size_t along = 0; along < 3; ++along)
            if (along != axis && (grid_.cells[other].at[along] < grid_.cells[index].at[along] ||
                                  ends_[other][along] > ends_[index][along]))
                return false;
        return true;
    }

    /// Whether the second's nodes follow the first's where they differ: the coarser one leads, and of two
    /// sides of one size that of the lower order.
    bool leads(std::size_t index, std::size_t beyond, std::size_t axis) const {
        const bool one = holds(index, beyond, axis), other = holds(beyond, index, axis);
        if (!one && !other)
            throw Error(ErrorKind::bug,
                        "two blocks of a grid meet in lines of which neither has the other's");
        if (!one || !other)
            return one;
        const auto &mine = grid_.cells[index].orders, &theirs = grid_.cells[beyond].orders;
        return std::accumulate(mine.begin(), mine.end(), -mine[axis]) <=
               std::accumulate(theirs.begin(), theirs.end(), -theirs[axis]);
    }

    void meet(std::size_t index, std::size_t beyond, std::size_t axis) {
        const bool first_leads = leads(index, beyond, axis);
        const GridCell& finer = grid_.cells[first_leads ? beyond : index];
        const CavityScreen* screen = screen_at(shape_, finer, axis, grid_.cells[beyond].from_m[axis]);
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

    bool alike(const Joint& joint) const {
        for (std::size_t axis = 0; axis < 3; ++axis)
            if (axis != joint.axis &&
                (grid_.cells[joint.cell].at[axis] != grid_.cells[joint.beyond].at[axis] ||
                 ends_[joint.cell][axis] != ends_[joint.beyond][axis] ||
                 grid_.cells[joint.cell].orders[axis] != grid_.cells[joint.beyond].orders[axis]))
                return false;
        return true;
    }

    static bool at_wall(const GridCell& cell, std::size_t node, Wall wall) {
        for (std::size_t axis = 0; axis < axis_of(wall); ++axis)
            node /= static_cast<std::size_t>(cell.orders[axis] + 1);
        const auto order = static_cast<std::size_t>(cell.orders[axis_of(wall)]);
        return node % (order + 1) == (is_far(wall) ? order : 0);
    }

    void join(const Joint& joint) {
        const GridCell &one = grid_.cells[joint.cell], &other = grid_.cells[joint.beyond];
        const auto here = side_nodes(one.orders, joint.axis, CellSide::high);
        const auto there = side_nodes(other.orders, joint.axis, CellSide::low);
        for (std::size_t i = 0; i < here.size(); ++i)
            if (!joint.only_at || at_wall(one, here[i], *joint.only_at))
                joined_.join(one.unknowns[here[i]], other.unknowns[there[i]]);
    }

    using Leaders = std::vector<std::pair<int, double>>; // nodes

    /// The nodes on the finer side, in those of the coarser.
    void follow(const Joint& joint, std::vector<std::pair<int, Leaders>>& found) {
        const bool first_leads = leads(joint.cell, joint.beyond, joint.axis);
        const std::size_t lead = first_leads ? joint.cell : joint.beyond;
        const std::size_t behind = first_leads ? joint.beyond : joint.cell;
        const GridCell &coarse = grid_.cells[lead], &fine = grid_.cells[behind];
        const auto leading =
            side_nodes(coarse.orders, joint.axis, first_leads ? CellSide::high : CellSide::low);
        const auto following =
            side_nodes(fine.orders, joint.axis, first_leads ? CellSide::low : CellSide::high);
        const auto along = [&](std::size_t axis) {
            const double from = (fine.from_m[axis] - coarse.from_m[axis]) / coarse.size_m[axis];
            return traces(coarse.orders[axis], fine.orders[axis], from,
                          from + fine.size_m[axis] / coarse.size_m[axis]);
        };
        const Eigen::MatrixXd first = along(joint.axis == 0 ? 1 : 0), second = along(joint.axis == 2 ? 1 : 2);
        for (std::size_t i = 0; i < following.size(); ++i) {
            Leaders leaders;
            const auto own = static_cast<Eigen::Index>(i);
            for (std::size_t k = 0; k < leading.size(); ++k) {
                const auto theirs = static_cast<Eigen::Index>(k);
                const double weight = first(own % first.rows(), theirs % first.cols()) *
                                      second(own / first.rows(), theirs / first.cols());
                if (std::abs(weight) > 1e-9)
                    leaders.emplace_back(coarse.unknowns[leading[k]], weight);
            }
            const int node = fine.unknowns[following[i]];
            if (leaders.size() == 1 && std::abs(leaders[0].second - 1) < 1e-9)
                joined_.join(node, leaders[0].first);
            else
                found.emplace_back(node, std::move(leaders));
        }
    }

    void number_unknowns() {
        joined_ = Joined(static_cast<std::size_t>(nodes_));
        std::vector<std::pair<int, Leaders>> found;
        for (const Joint& joint : joints_)
            if (joint.only_at || alike(joint))
                join(joint);
            else
                follow(joint, found);
        // A node that lies between those of two coarser neighbours follows the first.
        std::map<int, Leaders> following;
        for (auto& [node, leaders] : found) {
            for (auto& leader : leaders)
                leader.first = joined_.root(leader.first);
            following.try_emplace(joined_.root(node), std::move(leaders));
        }
        std::vector<int> number(static_cast<std::size_t>(nodes_), -1);
        for (const GridCell& cell : grid_.cells)
            for (const int node : cell.unknowns) {
                const int root = joined_.root(node);
                if (int& own = number[static_cast<std::size_t>(root)]; own < 0 && !following.contains(root))
                    own = grid_.unknowns++;
            }
        for (const auto& [root, leaders] : following) {
            number[static_cast<std::size_t>(root)] = grid_.nodes();
            grid_.followers.push_back({free_leaders(root, following, number, 0)});
        }
        for (GridCell& cell : grid_.cells)
            for (int& unknown : cell.unknowns)
                unknown = number[static_cast<std::size_t>(joined_.root(unknown))];
    }

    /// Leaders may follow others in turn.
    static Leaders free_leaders(int root, const std::map<int, Leaders>& following,
                                const std::vector<int>& number, int depth) {
        if (depth > 20)
            throw Error(ErrorKind::bug, "nodes of a grid follow each other in a circle");
        std::map<int, double> sum;
        for (const auto& [leader, weight] : following.at(root))
            if (!following.contains(leader))
                sum[number[static_cast<std::size_t>(leader)]] += weight;
            else
                for (const auto& [next, share] : free_leaders(leader, following, number, depth + 1))
                    sum[next] += weight * share;
        return {sum.begin(), sum.end()};
    }

    const CavityShape& shape_;
    std::array<std::vector<double>, 3> lines_m_;
    CavityGrid grid_;
    std::vector<Place> ends_; ///< of each cell: the lines that it ends at
    std::vector<int> place_;  ///< by segment: the cell there, −1 where there is none
    std::vector<Joint> joints_;
    Joined joined_{0};
    int nodes_ = 0;
};

} // namespace

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

CavityGrid cavity_grid(const CavityShape& shape, double to_hz, double speed_of_sound, int finer) {
    return Builder(shape, block_grid(shape, to_hz, speed_of_sound, finer)).build();
}

} // namespace ebbmark
