// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_model.hpp"

#include "algebra/dense.hpp"
#include "algebra/wide_product.hpp"
#include "base/error.hpp"
#include "base/in_parallel.hpp"
#include "base/random.hpp"
#include "room/cavity_solver.hpp"
#include "room/lobatto.hpp"
#include "room/modes.hpp"
#include "room/reduced_problem.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <numbers>
#include <numeric>

namespace ebbmark {

namespace {

using std::numbers::pi;
using Complex = std::complex<double>;
using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using ComplexMatrix = Eigen::MatrixXcd;
using ComplexVector = Eigen::VectorXcd;
using ComplexSparse = Eigen::SparseMatrix<Complex>;
using Index = Eigen::Index;

constexpr double modes_per_node = 9;
constexpr Index krylov = 48;            // dimension of each node's space
constexpr Index kept_per_node = 22;     // its eigenvectors nearest to the node
constexpr double residual_limit = 0.03; // modes have up to 0.003, false ones from 0.1 (cavity_scenarios)
constexpr double dropped = 1e-6;        // of the largest singular value of those joined
constexpr double margin = 1.04;         // modes are sought so far beyond the top: traps move them down
constexpr double node_damping = 0.03;

/// f_k with about equally many rigid modes between them.
std::vector<Complex> nodes_for(const Box& box, double speed_of_sound, double to_hz) {
    const double all = mode_count(box, speed_of_sound, to_hz);
    const int count = std::max(2, static_cast<int>(std::ceil(all / modes_per_node)));
    std::vector<Complex> nodes;
    for (int i = 0; i < count; ++i) {
        double low = 0, high = to_hz;
        for (int step = 0; step < 50; ++step) {
            const double middle = (low + high) / 2;
            (mode_count(box, speed_of_sound, middle) < all * (i + 0.6) / count ? low : high) = middle;
        }
        nodes.push_back(high * Complex(1, node_damping));
    }
    return nodes;
}

/// Arnoldi's method on A(f_k)⁻¹ D, D = A'(f_k)/(2 f_k): A(f) ≈ A(f_k) + (f² − f_k²) D.
std::vector<Eigenpair> shift_invert(const CavityMatrices& matrices, const FrontalPlan& plan,
                                    const CavityMedia& media, Complex node, std::uint64_t seed) {
    auto factors = coefficients(matrices.terms, node, media);
    for (Complex& slope : factors.slopes)
        slope /= 2.0 * node;
    const ComplexSparse system = combined(matrices, factors.values);
    const ComplexSparse derivative = combined(matrices, factors.slopes);
    const FrontalSolver inverse(plan, system.valuePtr());
    const Index size = system.rows(), steps = std::min(krylov, size - 1);
    ComplexMatrix space(size, steps + 1), hessenberg = ComplexMatrix::Zero(steps + 1, steps);
    Random random(seed);
    for (Index i = 0; i < size; ++i)
        space(i, 0) = random.normal_pair();
    space.col(0).normalize();
    for (Index s = 0; s < steps; ++s) {
        const ComplexVector right = derivative * space.col(s);
        ComplexVector next = inverse.solve(right);
        for (int twice = 0; twice < 2; ++twice) {
            // Σ q* x = (Σ q x*)*.
            ComplexVector along = ComplexVector::Zero(s + 1);
            subtract_transposed_applied(along, space.leftCols(s + 1), next.conjugate());
            along = -along.conjugate();
            subtract_applied(next, space.leftCols(s + 1), along);
            hessenberg.col(s).head(s + 1) += along;
        }
        hessenberg(s + 1, s) = next.norm();
        space.col(s + 1) = next / hessenberg(s + 1, s);
    }
    const ComplexEigen eigen = eigen_of(hessenberg.topRows(steps));
    std::vector<Index> order(static_cast<std::size_t>(steps));
    for (Index i = 0; i < steps; ++i)
        order[static_cast<std::size_t>(i)] = i;
    std::stable_sort(order.begin(), order.end(), [&](Index a, Index b) {
        return std::norm(eigen.values(a)) > std::norm(eigen.values(b));
    });
    std::vector<Eigenpair> found;
    order.resize(static_cast<std::size_t>(std::min(kept_per_node, steps)));
    for (const Index i : order) {
        const Complex value = eigen.values(i);
        found.push_back({std::sqrt(node * node - 1.0 / value), space.leftCols(steps) * eigen.vectors.col(i)});
        found.back().vector.normalize();
    }
    return found;
}

/// Orthonormal real basis of all real and imaginary parts, from the eigenvectors of their Gram matrix.
Matrix real_basis(const std::vector<const Eigenpair*>& pairs) {
    Matrix all(pairs.at(0)->vector.size(), 2 * static_cast<Index>(pairs.size()));
    Index column = 0;
    for (const Eigenpair* pair : pairs) {
        // Turned so that the real part is largest: else both parts may be almost alike.
        const Complex square = (pair->vector.transpose() * pair->vector).value();
        const Complex turn = std::polar(1.0, -std::arg(square) / 2);
        all.col(column++) = (turn * pair->vector).real();
        all.col(column++) = (turn * pair->vector).imag();
    }
    const auto gram = symmetric_eigen_of(transposed_product(all, all));
    const double largest = gram.values(column - 1);
    Index first = 0;
    while (gram.values(first) < dropped * dropped * largest)
        ++first;
    const Index kept = column - first;
    const Matrix basis = product(all, gram.vectors.rightCols(kept)) *
                         gram.values.tail(kept).cwiseSqrt().cwiseInverse().asDiagonal();
    return orthonormal(basis); // small singular values leave a loss of orthogonality: once more
}

/// A node's own part of the frequency axis: half of the way to each neighbour, and a little more, so that no
/// mode falls between; what is found twice is merged.
std::array<double, 2> reach(const std::vector<Complex>& nodes, std::size_t node) {
    const auto half = [&](std::size_t other) { return (nodes[node].real() + nodes[other].real()) / 2; };
    return {node == 0 ? 1 : half(node - 1) * 0.99,
            node + 1 == nodes.size() ? nodes[node].real() * 1.2 : half(node + 1) * 1.01};
}

/// |A x| over |f A' x| in the whole grid: small for a mode, not for what a basis that lacks a part of the
/// neighbouring frequencies makes up (a false mode between others).
double residual(const CavityMatrices& matrices, const CavityMedia& media, const Eigenpair& pair) {
    const auto factors = coefficients(matrices.terms, pair.hz, media);
    ComplexVector value = ComplexVector::Zero(pair.vector.size()), slope = value;
    for (std::size_t t = 0; t < matrices.terms.size(); ++t) {
        const CavityTerm& term = matrices.terms[t];
        const ComplexVector applied = term.matrix * touched(term, pair.vector);
        for (std::size_t i = 0; i < term.rows.size(); ++i) {
            value(term.rows[i]) += factors.values[t] * applied(static_cast<Index>(i));
            slope(term.rows[i]) += factors.slopes[t] * applied(static_cast<Index>(i));
        }
    }
    return value.norm() / (std::abs(pair.hz) * slope.norm());
}

/// The modes about one node in the basis of what was found there and at its neighbours: other beginnings
/// there tell equal frequencies apart.
std::vector<Eigenpair> modes_about(const CavityMatrices& matrices, const CavityMedia& media,
                                   const std::vector<Complex>& nodes,
                                   const std::vector<std::vector<Eigenpair>>& found, std::size_t node) {
    std::vector<const Eigenpair*> near;
    for (std::size_t i = node > 0 ? node - 1 : 0; i < std::min(nodes.size(), node + 2); ++i)
        for (const Eigenpair& pair : found[i])
            near.push_back(&pair);
    const Matrix basis = real_basis(near);
    const ReducedProblem<double> problem(matrices.terms, basis);
    auto factors = coefficients(matrices.terms, nodes[node], media);
    for (Complex& slope : factors.slopes)
        slope /= 2.0 * nodes[node];
    // Start values from the problem linearised in f².
    const ComplexEigen eigen =
        eigen_of(Factored(problem.sum(factors.values)).solve(problem.sum(factors.slopes)));
    const auto [from, to] = reach(nodes, node);
    std::vector<Eigenpair> result;
    for (Index i = 0; i < problem.size(); ++i) {
        Complex hz = std::sqrt(nodes[node] * nodes[node] - 1.0 / eigen.values(i));
        if (hz.real() < from || hz.real() > to || std::abs(hz.imag()) > 0.5 * hz.real())
            continue;
        ComplexVector x = eigen.vectors.col(i);
        if (!refine(problem, matrices.terms, media, hz, x))
            continue;
        Eigenpair pair{hz, basis * x};
        if (residual(matrices, media, pair) < residual_limit)
            result.push_back(std::move(pair));
    }
    return result;
}

} // namespace

ComplexSparse combined(const CavityMatrices& matrices, const std::vector<Complex>& factors) {
    ComplexSparse sum = matrices.pattern.cast<Complex>() * Complex(0);
    for (std::size_t t = 0; t < matrices.terms.size(); ++t) {
        const CavityTerm& term = matrices.terms[t];
        const double* value = term.matrix.valuePtr();
        for (const int slot : term.slots)
            sum.valuePtr()[slot] += factors[t] * *value++;
    }
    return sum;
}

double CavityMode::t60_s() const {
    return 3 * std::numbers::ln10 / (2 * pi * hz.imag());
}

CavityModel::Solver::Solver(const CavityShape& shape, CavityMedia wanted, const CavityOptions& options)
    : media(std::move(wanted)), threads(options.threads) {
    const double c = media.air.speed_of_sound;
    grid = cavity_grid(shape, std::max(options.to_hz, options.grid_hz), c, options.finer);
    matrices = cavity_matrices(grid);
    plan = frontal_plan(grid, matrices.pattern);
    nodes = nodes_for(shape.box, c, margin * options.to_hz);
    find(options);
}

void CavityModel::Solver::find(const CavityOptions& options) {
    std::vector<std::vector<Eigenpair>> found(nodes.size()), refined(nodes.size());
    constexpr double share_of_finding = 0.8; // of the time
    std::mutex telling;
    double part = 0;
    const auto tell = [&](double more) {
        const std::lock_guard lock(telling);
        part += more / static_cast<double>(nodes.size());
        if (options.step)
            options.step(std::min(part, 1.0));
    };
    in_parallel(nodes.size(), threads, [&](std::size_t i) {
        found[i] = shift_invert(matrices, plan, media, nodes[i], 1 + i);
        tell(share_of_finding);
    });
    in_parallel(nodes.size(), threads, [&](std::size_t i) {
        refined[i] = modes_about(matrices, media, nodes, found, i);
        tell(1 - share_of_finding);
    });
    std::vector<Eigenpair> all;
    std::vector<std::size_t> at_node;
    for (std::size_t i = 0; i < nodes.size(); ++i)
        for (Eigenpair& pair : refined[i]) {
            all.push_back(std::move(pair));
            at_node.push_back(i);
        }
    keep(std::move(all), std::move(at_node), options.to_hz);
}

void CavityModel::Solver::keep(std::vector<Eigenpair> found, std::vector<std::size_t> at_node, double to_hz) {
    std::vector<std::size_t> order(found.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return found[a].hz.real() < found[b].hz.real(); });
    constexpr double same = 1e-4;          // two nodes' bases agree better than this (cavity_scenarios)
    std::vector<ComplexVector> directions; // orthogonal among modes of one frequency
    std::vector<std::size_t> kept;
    for (const std::size_t i : order) {
        // The pressure that is the same everywhere does not ring.
        const Complex hz = found[i].hz;
        if (hz.imag() < -1e-7 * hz.real() || hz.real() > to_hz || hz.real() < 2)
            continue;
        // Found twice: what is left of it beside the modes of the same frequency is small.
        ComplexVector rest = found[i].vector.normalized();
        for (std::size_t k = modes.size(); k-- > 0 && modes[k].hz.real() > hz.real() * (1 - same);)
            if (std::abs(modes[k].hz - hz) < same * std::abs(hz))
                rest -= directions[k] * directions[k].dot(rest);
        if (rest.norm() < 0.3)
            continue;
        modes.push_back({hz});
        directions.push_back(rest.normalized());
        kept.push_back(i);
        node_of.push_back(at_node[i]);
    }
    vectors.resize(grid.unknowns, static_cast<Index>(kept.size()));
    for (std::size_t m = 0; m < kept.size(); ++m) {
        const ComplexVector& x = found[kept[m]].vector;
        const auto factors = coefficients(matrices.terms, modes[m].hz, media);
        const Complex square = (x.transpose() * (combined(matrices, factors.slopes) * x)).value() / (2 * pi);
        vectors.col(static_cast<Index>(m)) = x * std::sqrt(4 * pi / square);
    }
}

CavityModel::CavityModel(const CavityShape& shape, CavityMedia media, const CavityOptions& options)
    : solver_(std::make_unique<Solver>(shape, std::move(media), options)) {}
CavityModel::~CavityModel() = default;
CavityModel::CavityModel(CavityModel&&) noexcept = default;
CavityModel& CavityModel::operator=(CavityModel&&) noexcept = default;

const std::vector<CavityMode>& CavityModel::modes() const {
    return solver_->modes;
}

int CavityModel::unknowns() const {
    return solver_->grid.unknowns;
}

std::vector<std::vector<Complex>> CavityModel::pressures(std::span<const Point> places) const {
    const Solver& s = *solver_;
    std::vector<std::vector<Complex>> result(s.modes.size(), std::vector<Complex>(places.size()));
    for (std::size_t p = 0; p < places.size(); ++p) {
        const std::size_t index = s.grid.cell_at(places[p]);
        if (index == s.grid.cells.size())
            continue;
        const GridCell& cell = s.grid.cells[index];
        std::array<Vector, 3> along;
        for (std::size_t axis = 0; axis < 3; ++axis)
            along[axis] = lobatto_element(cell.orders[axis])
                              .values_at(2 * (places[p][axis] - cell.from_m[axis]) / cell.size_m[axis] - 1);
        std::size_t node = 0;
        for (Index k = 0; k < along[2].size(); ++k)
            for (Index j = 0; j < along[1].size(); ++j)
                for (Index i = 0; i < along[0].size(); ++i, ++node) {
                    const double value = along[0](i) * along[1](j) * along[2](k);
                    s.grid.each_leader(cell.unknowns[node], [&](int unknown, double weight) {
                        for (std::size_t m = 0; m < result.size(); ++m)
                            result[m][p] += value * weight * s.vectors(unknown, static_cast<Index>(m));
                    });
                }
    }
    return result;
}

std::vector<Complex> CavityModel::shifts(const CavityMedia& other) const {
    const Solver& s = *solver_;
    std::vector<Complex> result(s.modes.size());
    for (const CavityTerm& term : s.matrices.terms) {
        const ComplexMatrix x = touched(term, s.vectors), applied = term.matrix * x;
        for (std::size_t m = 0; m < result.size(); ++m) {
            const Complex more =
                coefficient(term, s.modes[m].hz, other) - coefficient(term, s.modes[m].hz, s.media);
            const auto i = static_cast<Index>(m);
            // The vectors are so scaled that xᵀ (dA/dω) x = 4π.
            result[m] -= more * (x.col(i).transpose() * applied.col(i)).value() / (8 * pi * pi);
        }
    }
    return result;
}

std::vector<std::vector<double>> overlaps(const CavityModel& a, const CavityModel& b) {
    const CavityModel::Solver &one = *a.solver_, &other = *b.solver_;
    if (one.grid.unknowns != other.grid.unknowns)
        throw Error(ErrorKind::bug, "modes of different grids have no overlap");
    const Index rows = one.vectors.cols(), columns = other.vectors.cols();
    ComplexMatrix products = ComplexMatrix::Zero(rows, columns);
    Vector left = Vector::Zero(rows), right = Vector::Zero(columns);
    for (const CavityTerm& term : one.matrices.terms)
        if (term.kind == CavityTerm::Kind::mass) {
            const ComplexMatrix p = touched(term, one.vectors), q = touched(term, other.vectors);
            const ComplexMatrix of_p = term.matrix * p, of_q = term.matrix * q;
            products += adjoint_times(p, of_q);
            left += p.conjugate().cwiseProduct(of_p).real().colwise().sum().transpose();
            right += q.conjugate().cwiseProduct(of_q).real().colwise().sum().transpose();
        }
    std::vector<std::vector<double>> result(static_cast<std::size_t>(rows));
    for (Index i = 0; i < rows; ++i)
        for (Index k = 0; k < columns; ++k)
            result[static_cast<std::size_t>(i)].push_back(std::norm(products(i, k)) / (left(i) * right(k)));
    return result;
}

} // namespace ebbmark
