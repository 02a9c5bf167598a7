// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/frontal_solver.hpp"

#include "algebra/wide_product.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace ebbmark {

namespace {

using Complex = std::complex<double>;
using Matrix = Eigen::MatrixXcd;
using Index = Eigen::Index;
using Front = FrontalPlan::Front;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

class Dissection {
  public:
    Dissection(const CavityGrid& grid, const Eigen::SparseMatrix<double>& pattern)
        : grid_(grid), pattern_(pattern), touching_(at(grid.unknowns)), seen_(at(grid.unknowns)),
          order_(at(grid.unknowns), -1), front_of_(at(grid.unknowns)) {}

    FrontalPlan plan() {
        for (const GridCell& cell : grid_.cells) {
            members_.emplace_back();
            for (const int node : cell.unknowns)
                add_member(members_.back(), node);
        }
        // What lies on both sides of a cloth leaves only when both cells are one.
        for (const GridCloth& cloth : grid_.cloths) {
            share(cloth.cell, cloth.axis, CellSide::high, cloth.beyond);
            share(cloth.beyond, cloth.axis, CellSide::low, cloth.cell);
        }
        for (auto& members : members_) {
            std::sort(members.begin(), members.end());
            members.erase(std::unique(members.begin(), members.end()), members.end());
            for (const int unknown : members)
                ++touching_[at(unknown)];
        }
        std::vector<std::size_t> all(grid_.cells.size());
        std::iota(all.begin(), all.end(), 0);
        dissect(all);
        for (std::size_t f = 0; f < plan_.fronts.size(); ++f)
            complete(f);
        enter();
        return std::move(plan_);
    }

  private:
    void share(std::size_t cell, std::size_t axis, CellSide side, std::size_t with) {
        for (const std::size_t node : side_nodes(grid_.cells[cell].orders, axis, side))
            add_member(members_[with], grid_.cells[cell].unknowns[node]);
    }

    void add_member(std::vector<int>& members, int node) const {
        grid_.each_leader(node, [&](int unknown, double) { members.push_back(unknown); });
    }

    int add_front(std::vector<int> leaving, const std::vector<int>& children) {
        Front front;
        const int index = static_cast<int>(plan_.fronts.size());
        for (const int unknown : leaving) {
            order_[at(unknown)] = next_++;
            front_of_[at(unknown)] = index;
        }
        front.leaving = static_cast<int>(leaving.size());
        front.unknowns = std::move(leaving);
        for (const int child : children)
            plan_.fronts[at(child)].parent = index;
        plan_.fronts.push_back(std::move(front));
        return index;
    }

    /// The last of the fronts of these cells.
    int dissect(const std::vector<std::size_t>& cells) {
        std::vector<int> children;
        if (cells.size() > 1) {
            const auto [first, second] = halves(cells);
            children = {dissect(first), dissect(second)};
        } else
            children = inner_fronts(cells.front());
        // Unknowns all of whose cells are among these leave now.
        std::vector<int> leaving;
        for (const std::size_t cell : cells)
            for (const int unknown : members_[cell])
                if (order_[at(unknown)] < 0 && ++seen_[at(unknown)] == touching_[at(unknown)])
                    leaving.push_back(unknown);
        for (const std::size_t cell : cells)
            for (const int unknown : members_[cell])
                seen_[at(unknown)] = 0;
        return add_front(std::move(leaving), children);
    }

    /// Functions that vanish on all sides of the cell do not couple with each other: each leaves alone.
    std::vector<int> inner_fronts(std::size_t index) {
        const GridCell& cell = grid_.cells[index];
        std::vector<int> fronts;
        std::array<int, 3> place{};
        std::size_t node = 0;
        for (place[2] = 0; place[2] <= cell.orders[2]; ++place[2])
            for (place[1] = 0; place[1] <= cell.orders[1]; ++place[1])
                for (place[0] = 0; place[0] <= cell.orders[0]; ++place[0], ++node) {
                    bool inner = true;
                    for (std::size_t axis = 0; axis < 3; ++axis)
                        inner = inner && place[axis] > 0 && place[axis] < cell.orders[axis];
                    if (inner)
                        fronts.push_back(add_front({cell.unknowns[node]}, {}));
                }
        return fronts;
    }

    /// Cut across the axis that has most functions, where the cells' functions halve.
    std::pair<std::vector<std::size_t>, std::vector<std::size_t>>
    halves(const std::vector<std::size_t>& cells) const {
        std::size_t best_axis = 0, best_line = 0;
        double best = -1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            std::vector<double> along(grid_.segments[axis] + 1);
            std::vector<int> orders(grid_.segments[axis]);
            for (const std::size_t cell : cells) {
                const std::size_t line = grid_.cells[cell].at[axis];
                along[line + 1] += static_cast<double>(members_[cell].size());
                orders[line] = std::max(orders[line], grid_.cells[cell].orders[axis]);
            }
            std::partial_sum(along.begin(), along.end(), along.begin());
            const double all = along.back();
            const double length = std::accumulate(orders.begin(), orders.end(), 0) - orders.front();
            for (std::size_t line = 1; line + 1 < along.size(); ++line) {
                const double smaller = std::min(along[line], all - along[line]) / all;
                // The longer the axis, the smaller the cut; the more even, the better.
                const double worth = smaller * (1 + length);
                if (smaller > 0 && worth > best)
                    best = worth, best_axis = axis, best_line = line;
            }
        }
        std::pair<std::vector<std::size_t>, std::vector<std::size_t>> result;
        for (const std::size_t cell : cells)
            (grid_.cells[cell].at[best_axis] < best_line ? result.first : result.second).push_back(cell);
        return result;
    }

    /// What is left over: of the children, and what the pattern couples with those that leave.
    void complete(std::size_t index) {
        Front& front = plan_.fronts[index];
        std::vector<int> rest;
        const int own = static_cast<int>(index);
        for (int i = 0; i < front.leaving; ++i)
            for (Eigen::SparseMatrix<double>::InnerIterator entry(pattern_, front.unknowns[at(i)]); entry;
                 ++entry)
                rest.push_back(static_cast<int>(entry.row()));
        if (index < inherited_.size())
            rest.insert(rest.end(), inherited_[index].begin(), inherited_[index].end());
        std::erase_if(rest, [&](int unknown) { return front_of_[at(unknown)] <= own; });
        const auto earlier = [&](int a, int b) { return order_[at(a)] < order_[at(b)]; };
        std::sort(rest.begin(), rest.end(), earlier);
        rest.erase(std::unique(rest.begin(), rest.end()), rest.end());
        front.unknowns.insert(front.unknowns.end(), rest.begin(), rest.end());
        inherited_.resize(plan_.fronts.size());
        if (front.parent >= 0) {
            auto& to = inherited_[at(front.parent)];
            to.insert(to.end(), rest.begin(), rest.end());
        }
    }

    /// Places in the parents, and where each entry of the matrix goes.
    void enter() {
        std::vector<int> place(at(grid_.unknowns), -1);
        std::vector<std::vector<int>> children(plan_.fronts.size());
        for (std::size_t f = 0; f < plan_.fronts.size(); ++f)
            if (plan_.fronts[f].parent >= 0)
                children[at(plan_.fronts[f].parent)].push_back(static_cast<int>(f));
        for (std::size_t f = 0; f < plan_.fronts.size(); ++f) {
            Front& front = plan_.fronts[f];
            for (std::size_t i = 0; i < front.unknowns.size(); ++i)
                place[at(front.unknowns[i])] = static_cast<int>(i);
            for (const int child : children[f]) {
                Front& from = plan_.fronts[at(child)];
                for (std::size_t i = at(from.leaving); i < from.unknowns.size(); ++i)
                    from.in_parent.push_back(place[at(from.unknowns[i])]);
            }
            for (int i = 0; i < front.leaving; ++i) {
                const int column = front.unknowns[at(i)];
                for (int slot = pattern_.outerIndexPtr()[column]; slot < pattern_.outerIndexPtr()[column + 1];
                     ++slot)
                    if (const int row = pattern_.innerIndexPtr()[slot]; order_[at(row)] >= order_[at(column)])
                        front.entries.push_back({slot, place[at(row)], i});
            }
        }
    }

    const CavityGrid& grid_;
    const Eigen::SparseMatrix<double>& pattern_;
    std::vector<std::vector<int>> members_, inherited_;
    std::vector<int> touching_, seen_, order_, front_of_;
    int next_ = 0;
    FrontalPlan plan_;
};

/// Lower triangle of the child's remainder into the parent's front.
void extend_add(Matrix& parent, const Front& child, const Matrix& remainder) {
    for (Index c = 0; c < remainder.cols(); ++c) {
        const Index column = child.in_parent[static_cast<std::size_t>(c)];
        for (Index r = c; r < remainder.rows(); ++r)
            parent(child.in_parent[static_cast<std::size_t>(r)], column) += remainder(r, c);
    }
}

} // namespace

FrontalPlan frontal_plan(const CavityGrid& grid, const Eigen::SparseMatrix<double>& pattern) {
    return Dissection(grid, pattern).plan();
}

FrontalSolver::FrontalSolver(const FrontalPlan& plan, const Complex* values)
    : plan_(plan), factors_(plan.fronts.size()) {
    std::vector<Matrix> fronts(plan.fronts.size());
    const auto made = [&](std::size_t f) -> Matrix& {
        const auto size = static_cast<Index>(plan.fronts[f].unknowns.size());
        if (fronts[f].size() == 0)
            fronts[f] = Matrix::Zero(size, size);
        return fronts[f];
    };
    for (std::size_t f = 0; f < plan.fronts.size(); ++f) {
        const Front& front = plan.fronts[f];
        Matrix& own = made(f);
        for (const FrontalPlan::Entry& entry : front.entries)
            own(entry.row, entry.column) += values[entry.slot];
        const Index leaving = front.leaving, rest = own.rows() - leaving;
        Matrix remainder = own.bottomRightCorner(rest, rest);
        if (leaving > 0) {
            Matrix pivot = own.topLeftCorner(leaving, leaving);
            pivot.triangularView<Eigen::StrictlyUpper>() = own.topLeftCorner(leaving, leaving).transpose();
            factors_[f].pivot = Factored(std::move(pivot));
            if (rest > 0) {
                const Matrix coupling = own.bottomLeftCorner(rest, leaving);
                factors_[f].coupling = factors_[f].pivot.solve(Matrix(coupling.transpose()));
                subtract_lower_product(remainder, coupling, factors_[f].coupling);
            }
        }
        own.resize(0, 0);
        if (front.parent >= 0)
            extend_add(made(at(front.parent)), front, remainder);
    }
}

Eigen::VectorXcd FrontalSolver::solve(Eigen::VectorXcd right) const {
    // Forward: what leaves acts on the rest by (pivot⁻¹ coupling)ᵀ; backward the other way round.
    using Vector = Eigen::VectorXcd;
    std::vector<Vector> own(factors_.size());
    const auto gathered = [&](const Front& front, int from, int to) {
        Vector part(to - from);
        for (int i = from; i < to; ++i)
            part(i - from) = right(front.unknowns[at(i)]);
        return part;
    };
    for (std::size_t f = 0; f < factors_.size(); ++f) {
        const Front& front = plan_.fronts[f];
        if (front.leaving == 0)
            continue;
        const Vector leaving = gathered(front, 0, front.leaving);
        if (factors_[f].coupling.size() > 0) {
            Vector rest = gathered(front, front.leaving, static_cast<int>(front.unknowns.size()));
            subtract_transposed_applied(rest, factors_[f].coupling, leaving);
            for (Index i = 0; i < rest.size(); ++i)
                right(front.unknowns[at(front.leaving) + static_cast<std::size_t>(i)]) = rest(i);
        }
        own[f] = factors_[f].pivot.solve(leaving);
    }
    for (std::size_t f = factors_.size(); f-- > 0;) {
        const Front& front = plan_.fronts[f];
        if (front.leaving == 0)
            continue;
        if (factors_[f].coupling.size() > 0)
            subtract_applied(own[f], factors_[f].coupling,
                             gathered(front, front.leaving, static_cast<int>(front.unknowns.size())));
        for (int i = 0; i < front.leaving; ++i)
            right(front.unknowns[at(i)]) = own[f](i);
    }
    return right;
}

} // namespace ebbmark
