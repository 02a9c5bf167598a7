// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_matrices.hpp"

#include "room/lobatto.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <numbers>
#include <optional>

namespace ebbmark {

namespace {

using Complex = std::complex<double>;
using Sparse = Eigen::SparseMatrix<double>;
using Matrix = Eigen::MatrixXd;
using Kind = CavityTerm::Kind;
using Key = std::pair<Kind, std::size_t>;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// Mass and stiffness of one cell along each axis.
struct CellPieces {
    std::array<Matrix, 3> mass, stiffness;

    explicit CellPieces(const GridCell& cell) {
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const LobattoElement& element = lobatto_element(cell.orders[axis]);
            mass[axis] = element.mass * (cell.size_m[axis] / 2);
            stiffness[axis] = element.stiffness * (2 / cell.size_m[axis]);
        }
    }
};

struct CellNode {
    int cell, node; // node: index into its unknowns
};

/// One triangle of a cut cell, between its right angle and the ends of the diagonal.
struct CutTriangle {
    struct Node {
        std::array<double, 2> slopes{}; ///< of its function
        int corner = 0;                 ///< which of the three
        int third = 0;                  ///< index along the third axis
    };

    std::size_t a, b, third;
    std::array<int, 3> counts{};
    std::array<int, 2> right{}; ///< the corner with the right angle
    std::array<double, 2> edges_m{};
    double sign;

    CutTriangle(const GridCell& cell, int high)
        : a(cell.cut->axes[0]), b(cell.cut->axes[1]),
          third(3 - a - b), right{high, cell.cut->rising ? 1 - high : high}, edges_m{cell.size_m[a],
                                                                                     cell.size_m[b]},
          sign(cell.cut->rising ? -1 : 1) {
        for (std::size_t axis = 0; axis < 3; ++axis)
            counts[axis] = cell.orders[axis] + 1;
    }

    /// Nothing for nodes of the other half alone.
    std::optional<Node> node(int index) const {
        const std::array<int, 3> place{index % counts[0], index / counts[0] % counts[1],
                                       index / (counts[0] * counts[1])};
        const bool beside_a = place[a] != right[0], beside_b = place[b] != right[1];
        if (beside_a && beside_b)
            return {};
        const double to_a = (right[0] == 0 ? 1 : -1) / edges_m[0],
                     to_b = (right[1] == 0 ? 1 : -1) / edges_m[1];
        if (beside_a)
            return Node{{to_a, 0}, 1, place[third]};
        if (beside_b)
            return Node{{0, to_b}, 2, place[third]};
        return Node{{-to_a, -to_b}, 0, place[third]};
    }
    double area_m2() const { return edges_m[0] * edges_m[1] / 2; }
    double mass(const Node& p, const Node& q) const {
        return area_m2() * (p.corner == q.corner ? 2 : 1) / 12;
    }
    /// Across the diagonal and along it: ∂p/∂d ∂q/∂d is half of ∂a∂a + ∂b∂b ± (∂a∂b + ∂b∂a).
    std::array<double, 2> stiffness(const Node& p, const Node& q) const {
        const double equal = area_m2() * (p.slopes[0] * q.slopes[0] + p.slopes[1] * q.slopes[1]) / 2;
        const double mixed = area_m2() * (p.slopes[0] * q.slopes[1] + p.slopes[1] * q.slopes[0]) / 2;
        return {equal + sign * mixed, equal - sign * mixed};
    }
};

/// One column of a matrix while it is summed over cells.
class Column {
  public:
    explicit Column(int rows) : place_(at(rows), -1) {}

    void begin(const std::vector<int>& rows) {
        rows_ = &rows;
        for (std::size_t i = 0; i < rows.size(); ++i)
            place_[at(rows[i])] = static_cast<int>(i);
        for (auto& [key, sum] : sums_)
            sum.clear();
    }
    std::vector<double>& sum(const Key& key) {
        std::vector<double>& values = sums_[key];
        if (values.empty())
            values.assign(rows_->size(), 0);
        return values;
    }
    int place(int row) const { return place_[at(row)]; }
    const std::map<Key, std::vector<double>>& sums() const { return sums_; }

  private:
    const std::vector<int>* rows_ = nullptr;
    std::vector<int> place_;
    std::map<Key, std::vector<double>> sums_;
};

/// A term's matrix while it grows column by column.
struct Growing {
    std::vector<int> starts, rows, slots;
    std::vector<double> values;
};

class Assembly {
  public:
    explicit Assembly(const CavityGrid& grid) : grid_(grid), nodes_(at(grid.nodes())) {
        for (std::size_t c = 0; c < grid.cells.size(); ++c) {
            const auto& unknowns = grid.cells[c].unknowns;
            for (std::size_t n = 0; n < unknowns.size(); ++n)
                nodes_[at(unknowns[n])].push_back({static_cast<int>(c), static_cast<int>(n)});
            pieces_.emplace_back(grid.cells[c]);
        }
        link_across_cloths();
    }

    CavityMatrices assemble() {
        Column column(grid_.nodes());
        std::vector<int> starts{0}, all_rows;
        for (int unknown = 0; unknown < grid_.nodes(); ++unknown) {
            const std::vector<int> rows = rows_of(unknown);
            column.begin(rows);
            for (const CellNode& node : nodes_[at(unknown)])
                add_cell(column, node);
            for (const Face& face : faces_[at(unknown)])
                add_face(column, face);
            store(column, rows, unknown, all_rows);
            starts.push_back(static_cast<int>(all_rows.size()));
        }
        CavityMatrices result;
        const std::vector<double> ones(all_rows.size(), 1);
        result.pattern = matrix_of(starts, all_rows, ones);
        for (auto& [key, term] : terms_)
            result.terms.push_back(finished(key, std::move(term)));
        return result;
    }

  private:
    /// The integral over one side of a cell, between its nodes and those that face them: themselves at a
    /// surface, the other side's nodes with the sign of the jump at cloth.
    struct Face {
        Key key;
        int cell;
        std::size_t axis;
        std::size_t node; // index into `nodes`
        const std::vector<std::size_t>* nodes;
        const std::vector<std::size_t>* target;
        int target_cell;
        double sign;
    };

    CavityTerm finished(const Key& key, Growing term) const {
        CavityTerm result{key.first, key.second, {}, {}, std::move(term.slots)};
        term.starts.resize(at(grid_.nodes()) + 1, static_cast<int>(term.rows.size()));
        std::vector<int> place(at(grid_.nodes()), -1), starts{0};
        for (int unknown = 0; unknown < grid_.nodes(); ++unknown)
            if (term.starts[at(unknown) + 1] > term.starts[at(unknown)]) {
                place[at(unknown)] = static_cast<int>(result.rows.size());
                result.rows.push_back(unknown);
                starts.push_back(term.starts[at(unknown) + 1]);
            }
        for (int& row : term.rows) // symmetric: every row is a column too
            row = place[at(row)];
        const auto size = static_cast<Eigen::Index>(result.rows.size());
        result.matrix = Eigen::Map<const Sparse>(size, size, static_cast<Eigen::Index>(term.rows.size()),
                                                 starts.data(), term.rows.data(), term.values.data());
        return result;
    }

    Sparse matrix_of(const std::vector<int>& starts, const std::vector<int>& rows,
                     const std::vector<double>& values) const {
        return Eigen::Map<const Sparse>(grid_.nodes(), grid_.nodes(), static_cast<int>(rows.size()),
                                        starts.data(), rows.data(), values.data());
    }

    void link_across_cloths() {
        faces_.resize(nodes_.size());
        for (const GridSurface& surface : grid_.surfaces) {
            const auto& nodes =
                kept(surface.cell, surface.axis, surface.far ? CellSide::high : CellSide::low);
            add_side({Kind::surface, surface.surface}, surface.cell, surface.axis, nodes, surface.cell, nodes,
                     1);
        }
        for (const GridCloth& cloth : grid_.cloths) {
            const auto& here = kept(cloth.cell, cloth.axis, CellSide::high);
            const auto& there = kept(cloth.beyond, cloth.axis, CellSide::low);
            const Key key{Kind::cloth, cloth.cloth};
            add_side(key, cloth.cell, cloth.axis, here, cloth.cell, here, 1);
            add_side(key, cloth.cell, cloth.axis, here, cloth.beyond, there, -1);
            add_side(key, cloth.beyond, cloth.axis, there, cloth.cell, here, -1);
            add_side(key, cloth.beyond, cloth.axis, there, cloth.beyond, there, 1);
        }
    }

    const std::vector<std::size_t>& kept(std::size_t cell, std::size_t axis, CellSide side) {
        sides_.push_back(
            std::make_unique<std::vector<std::size_t>>(side_nodes(grid_.cells[cell].orders, axis, side)));
        return *sides_.back();
    }

    void add_side(const Key& key, std::size_t cell, std::size_t axis, const std::vector<std::size_t>& nodes,
                  std::size_t target_cell, const std::vector<std::size_t>& target, double sign) {
        for (std::size_t i = 0; i < nodes.size(); ++i)
            faces_[at(grid_.cells[cell].unknowns[nodes[i]])].push_back(
                {key, static_cast<int>(cell), axis, i, &nodes, &target, static_cast<int>(target_cell), sign});
    }

    std::vector<int> rows_of(int unknown) const {
        std::vector<int> rows;
        for (const CellNode& node : nodes_[at(unknown)]) {
            const auto& more = grid_.cells[at(node.cell)].unknowns;
            rows.insert(rows.end(), more.begin(), more.end());
        }
        for (const Face& face : faces_[at(unknown)])
            for (const std::size_t node : *face.target)
                rows.push_back(grid_.cells[at(face.target_cell)].unknowns[node]);
        std::sort(rows.begin(), rows.end());
        rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
        return rows;
    }

    /// Linear functions on the two triangles of a cell that is cut along its diagonal.
    static void add_cut_cell(Column& column, const GridCell& cell, const CellPieces& piece, int own) {
        for (const std::size_t high : {0, 1}) {
            const CutTriangle triangle(cell, static_cast<int>(high));
            const auto p = triangle.node(own);
            if (!p)
                continue;
            const CavityPart::Cut::Half& half = cell.cut->halves[high];
            const auto add = [&](const Key& key, std::size_t row, double value) {
                column.sum(key)[at(column.place(cell.unknowns[row]))] += value;
            };
            const auto move = [&](int fluid, std::size_t row, double value) {
                if (fluid != CavityPart::still)
                    add({Kind::stiffness, at(fluid)}, row, value);
            };
            for (std::size_t row = 0; row < cell.unknowns.size(); ++row) {
                const auto q = triangle.node(static_cast<int>(row));
                if (!q)
                    continue;
                const auto [across, along] = triangle.stiffness(*p, *q);
                const double plane = triangle.mass(*p, *q);
                const double mass = piece.mass[triangle.third](q->third, p->third);
                move(half.through, row, mass * across);
                move(half.along, row, mass * along);
                move(half.third, row, plane * piece.stiffness[triangle.third](q->third, p->third));
                add({Kind::mass, at(half.fluid)}, row, plane * mass);
            }
        }
    }

    void add_cell(Column& column, const CellNode& node) const {
        const GridCell& cell = grid_.cells[at(node.cell)];
        if (cell.cut)
            return add_cut_cell(column, cell, pieces_[at(node.cell)], node.node);
        const CellPieces& piece = pieces_[at(node.cell)];
        const int nx = cell.orders[0] + 1, ny = cell.orders[1] + 1, nz = cell.orders[2] + 1;
        const int i = node.node % nx, j = node.node / nx % ny, k = node.node / (nx * ny);
        std::array<std::vector<double>*, 3> stiffness{};
        for (std::size_t axis = 0; axis < 3; ++axis)
            if (cell.density_of[axis] != CavityPart::still)
                stiffness[axis] = &column.sum({Kind::stiffness, at(cell.density_of[axis])});
        auto& mass = column.sum({Kind::mass, at(cell.fluid)});
        std::size_t row = 0;
        for (int c = 0; c < nz; ++c)
            for (int b = 0; b < ny; ++b) {
                const double my = piece.mass[1](b, j), mz = piece.mass[2](c, k);
                const double sy = piece.stiffness[1](b, j), sz = piece.stiffness[2](c, k);
                if (sy * mz == 0 && my * sz == 0 && my * mz == 0) {
                    row += static_cast<std::size_t>(nx);
                    continue;
                }
                for (int a = 0; a < nx; ++a, ++row) {
                    const std::size_t place = at(column.place(cell.unknowns[row]));
                    const double mx = piece.mass[0](a, i);
                    if (stiffness[0] != nullptr)
                        (*stiffness[0])[place] += piece.stiffness[0](a, i) * my * mz;
                    if (stiffness[1] != nullptr)
                        (*stiffness[1])[place] += mx * sy * mz;
                    if (stiffness[2] != nullptr)
                        (*stiffness[2])[place] += mx * my * sz;
                    mass[place] += mx * my * mz;
                }
            }
    }

    void add_face(Column& column, const Face& face) const {
        const GridCell& cell = grid_.cells[at(face.cell)];
        const CellPieces& piece = pieces_[at(face.cell)];
        const std::size_t first = face.axis == 0 ? 1 : 0, second = face.axis == 2 ? 1 : 2;
        const auto count = static_cast<std::size_t>(cell.orders[first] + 1);
        auto& sum = column.sum(face.key);
        const auto entry = [&](const Matrix& matrix, std::size_t row, std::size_t own) {
            return matrix(static_cast<Eigen::Index>(row), static_cast<Eigen::Index>(own));
        };
        for (std::size_t n = 0; n < face.target->size(); ++n) {
            const int unknown = grid_.cells[at(face.target_cell)].unknowns[(*face.target)[n]];
            sum[at(column.place(unknown))] += face.sign *
                                              entry(piece.mass[first], n % count, face.node % count) *
                                              entry(piece.mass[second], n / count, face.node / count);
        }
    }

    void store(const Column& column, const std::vector<int>& rows, int unknown, std::vector<int>& all_rows) {
        std::vector<int> slots(rows.size(), -1);
        for (std::size_t i = 0; i < rows.size(); ++i)
            if (std::any_of(column.sums().begin(), column.sums().end(),
                            [i](const auto& sum) { return !sum.second.empty() && sum.second[i] != 0; })) {
                slots[i] = static_cast<int>(all_rows.size());
                all_rows.push_back(rows[i]);
            }
        for (const auto& [key, sum] : column.sums()) {
            if (sum.empty())
                continue;
            Growing& term = terms_[key];
            term.starts.resize(at(unknown) + 1, static_cast<int>(term.rows.size()));
            for (std::size_t i = 0; i < rows.size(); ++i)
                if (sum[i] != 0) {
                    term.rows.push_back(rows[i]);
                    term.values.push_back(sum[i]);
                    term.slots.push_back(slots[i]);
                }
        }
    }

    const CavityGrid& grid_;
    std::vector<std::vector<CellNode>> nodes_;
    std::vector<CellPieces> pieces_;
    std::vector<std::vector<Face>> faces_;
    std::vector<std::unique_ptr<std::vector<std::size_t>>> sides_;
    std::map<Key, Growing> terms_;
};

} // namespace

namespace {

/// Each node in the unknowns: itself, or those that it follows.
Sparse leading(const CavityGrid& grid) {
    std::vector<Eigen::Triplet<double>> entries;
    for (int node = 0; node < grid.nodes(); ++node)
        grid.each_leader(node,
                         [&](int unknown, double weight) { entries.emplace_back(node, unknown, weight); });
    Sparse result(grid.nodes(), grid.unknowns);
    result.setFromTriplets(entries.begin(), entries.end());
    return result;
}

/// The same between the nodes of the whole grid.
Sparse spread(const CavityTerm& term, int nodes) {
    std::vector<Eigen::Triplet<double>> entries;
    for (Eigen::Index column = 0; column < term.matrix.outerSize(); ++column)
        for (Sparse::InnerIterator entry(term.matrix, column); entry; ++entry)
            entries.emplace_back(term.rows[at(static_cast<int>(entry.row()))],
                                 term.rows[at(static_cast<int>(column))], entry.value());
    Sparse result(nodes, nodes);
    result.setFromTriplets(entries.begin(), entries.end());
    return result;
}

/// A term between the unknowns that it touches.
CavityTerm gathered(const CavityTerm& term, const Sparse& whole) {
    CavityTerm result{term.kind, term.index, {}, {}, {}};
    std::vector<int> place(at(static_cast<int>(whole.cols())), -1);
    for (int column = 0; column < static_cast<int>(whole.cols()); ++column)
        if (whole.outerIndexPtr()[column + 1] > whole.outerIndexPtr()[column]) {
            place[at(column)] = static_cast<int>(result.rows.size());
            result.rows.push_back(column);
        }
    std::vector<Eigen::Triplet<double>> entries;
    for (const int column : result.rows)
        for (Sparse::InnerIterator entry(whole, column); entry; ++entry)
            entries.emplace_back(place[at(static_cast<int>(entry.row()))], place[at(column)], entry.value());
    const auto size = static_cast<Eigen::Index>(result.rows.size());
    result.matrix.resize(size, size);
    result.matrix.setFromTriplets(entries.begin(), entries.end());
    return result;
}

/// Where the term's entries lie in the pattern.
std::vector<int> slots_of(const CavityTerm& term, const Sparse& pattern) {
    std::vector<int> slots, slot_of(at(static_cast<int>(pattern.rows())), -1);
    for (Eigen::Index column = 0; column < term.matrix.outerSize(); ++column) {
        const int whole = term.rows[at(static_cast<int>(column))];
        for (int slot = pattern.outerIndexPtr()[whole]; slot < pattern.outerIndexPtr()[whole + 1]; ++slot)
            slot_of[at(pattern.innerIndexPtr()[slot])] = slot;
        for (Sparse::InnerIterator entry(term.matrix, column); entry; ++entry)
            slots.push_back(slot_of[at(term.rows[at(static_cast<int>(entry.row()))])]);
    }
    return slots;
}

/// Pᵀ A P for each term: followers take part through those that they follow.
CavityMatrices without_followers(const CavityMatrices& all, const CavityGrid& grid) {
    const Sparse nodes = leading(grid), leaders = nodes.transpose();
    CavityMatrices result;
    result.pattern.resize(grid.unknowns, grid.unknowns);
    for (const CavityTerm& term : all.terms) {
        Sparse whole = (leaders * spread(term, grid.nodes()) * nodes).pruned();
        // Rounding must not leave an entry on one side of the diagonal alone.
        const Sparse mirrored = whole.transpose();
        whole = (whole + mirrored) * 0.5;
        result.terms.push_back(gathered(term, whole));
        result.pattern += whole.cwiseAbs();
    }
    result.pattern.makeCompressed();
    for (CavityTerm& term : result.terms)
        term.slots = slots_of(term, result.pattern);
    return result;
}

} // namespace

CavityMatrices cavity_matrices(const CavityGrid& grid) {
    const CavityMatrices all = Assembly(grid).assemble();
    return grid.followers.empty() ? all : without_followers(all, grid);
}

Complex coefficient(const CavityTerm& term, Complex hz, const CavityMedia& media) {
    const Complex k = 2 * std::numbers::pi * hz / media.air.speed_of_sound;
    switch (term.kind) {
    case Kind::stiffness:
    case Kind::mass: {
        const EquivalentFluid fluid = term.index == 0 ? EquivalentFluid{} : media.fluids[term.index - 1](hz);
        return term.kind == Kind::mass ? -k * k * fluid.wave_number / fluid.impedance
                                       : 1.0 / (fluid.impedance * fluid.wave_number);
    }
    case Kind::surface:
        if (term.index >= media.surfaces.size() || !media.surfaces[term.index])
            return 0;
        return Complex(0, 1) * k * media.surfaces[term.index](hz);
    case Kind::cloth:
        return Complex(0, 1) * k / media.cloths[term.index];
    }
    return 0;
}

CavityCoefficients coefficients(std::span<const CavityTerm> terms, Complex hz, const CavityMedia& media) {
    CavityCoefficients result;
    const Complex step = 1e-4 * hz; // central: relative error of the slope 1e-8
    for (const CavityTerm& term : terms) {
        result.values.push_back(coefficient(term, hz, media));
        result.slopes.push_back((coefficient(term, hz + step, media) - coefficient(term, hz - step, media)) /
                                (2.0 * step));
    }
    return result;
}

} // namespace ebbmark
