// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/cavity_model.hpp"

#include "base/error.hpp"
#include "base/random.hpp"
#include "room/cavity_matrices.hpp"
#include "room/frontal_solver.hpp"
#include "room/in_parallel.hpp"
#include "room/lobatto.hpp"
#include "room/modes.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

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

constexpr double modes_per_node = 10;
constexpr Index krylov = 44;        // dimension of each node's space
constexpr Index kept_per_node = 18; // its eigenvectors nearest to the node
constexpr double dropped = 1e-6;    // of the largest singular value of all of them
constexpr double margin = 1.04;     // modes are sought so far beyond the top: traps move them down
constexpr double node_damping = 0.03;
constexpr double near_enough = 1e-5; // of Newton's last step; the next would be its square or less

/// A(f) or A'(f) in the full space, in the common pattern.
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

struct Ritz {
    Complex hz;
    ComplexVector vector;
};

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
std::vector<Ritz> shift_invert(const CavityMatrices& matrices, const FrontalPlan& plan,
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
            const ComplexVector along = space.leftCols(s + 1).adjoint() * next;
            next -= space.leftCols(s + 1) * along;
            hessenberg.col(s).head(s + 1) += along;
        }
        hessenberg(s + 1, s) = next.norm();
        space.col(s + 1) = next / hessenberg(s + 1, s);
    }
    const Eigen::ComplexEigenSolver<ComplexMatrix> eigen(hessenberg.topRows(steps));
    std::vector<Index> order(static_cast<std::size_t>(steps));
    for (Index i = 0; i < steps; ++i)
        order[static_cast<std::size_t>(i)] = i;
    std::stable_sort(order.begin(), order.end(), [&](Index a, Index b) {
        return std::norm(eigen.eigenvalues()(a)) > std::norm(eigen.eigenvalues()(b));
    });
    order.resize(static_cast<std::size_t>(std::min(kept_per_node, steps)));
    std::vector<Ritz> found;
    for (const Index i : order) {
        const Complex square = node * node - 1.0 / eigen.eigenvalues()(i);
        found.push_back({std::sqrt(square), space.leftCols(steps) * eigen.eigenvectors().col(i)});
        found.back().vector.normalize();
    }
    return found;
}

/// Orthonormal real basis of all real and imaginary parts, from the eigenvectors of their Gram matrix.
Matrix real_basis(const std::vector<std::vector<Ritz>>& found) {
    Index count = 0;
    for (const auto& node : found)
        count += 2 * static_cast<Index>(node.size());
    Matrix all(found.at(0).at(0).vector.size(), count);
    Index column = 0;
    for (const auto& node : found)
        for (const Ritz& ritz : node) {
            // Turned so that the real part is largest: else both parts may be almost alike.
            const Complex square = (ritz.vector.transpose() * ritz.vector).value();
            const Complex turn = std::polar(1.0, -std::arg(square) / 2);
            all.col(column++) = (turn * ritz.vector).real();
            all.col(column++) = (turn * ritz.vector).imag();
        }
    const Eigen::SelfAdjointEigenSolver<Matrix> gram(all.transpose() * all);
    const double largest = gram.eigenvalues()(count - 1);
    Index first = 0;
    while (gram.eigenvalues()(first) < dropped * dropped * largest)
        ++first;
    const Index kept = count - first;
    Matrix basis = all * gram.eigenvectors().rightCols(kept) *
                   gram.eigenvalues().tail(kept).cwiseSqrt().cwiseInverse().asDiagonal();
    // Small singular values leave a loss of orthogonality: once more.
    const Eigen::LLT<Matrix> cholesky(basis.transpose() * basis);
    return cholesky.matrixU().solve<Eigen::OnTheRight>(basis);
}

} // namespace

double CavityMode::t60_s() const {
    return 3 * std::numbers::ln10 / (2 * pi * hz.imag());
}

/// A(f) between few vectors.
struct Reduced {
    std::vector<Matrix> terms;

    ComplexMatrix sum(const std::vector<Complex>& factors) const {
        Matrix real = Matrix::Zero(terms.at(0).rows(), terms.at(0).cols()), imaginary = real;
        for (std::size_t t = 0; t < terms.size(); ++t) {
            real += factors[t].real() * terms[t];
            if (factors[t].imag() != 0)
                imaginary += factors[t].imag() * terms[t];
        }
        ComplexMatrix result(real.rows(), real.cols());
        result.real() = real;
        result.imag() = imaginary;
        return result;
    }
};

struct CavityModel::Solver {
    CavityGrid grid;
    CavityMedia media;
    CavityMatrices matrices;
    int threads;
    Matrix basis; // unknowns × functions
    Reduced reduced;
    Matrix whole_mass; // ∫ of products of the basis functions, over all fluids alike
    std::vector<CavityMode> modes;
    std::vector<ComplexVector> vectors; // of each mode in the basis, xᵀ A' x = 4π for A' by ω

    Solver(const CavityShape& shape, CavityMedia wanted, const CavityOptions& options);
    void reduce(const std::vector<std::vector<Ritz>>& found);
    std::vector<Ritz> starts(const std::vector<std::vector<Ritz>>& found, const std::vector<Complex>& nodes,
                             std::size_t node) const;
    bool refine(Ritz& mode) const;
    void keep_modes(std::vector<Ritz> refined, double to_hz);
    void normalise(std::size_t mode);
};

CavityModel::Solver::Solver(const CavityShape& shape, CavityMedia wanted, const CavityOptions& options)
    : media(std::move(wanted)), threads(options.threads) {
    const double c = media.air.speed_of_sound;
    grid = cavity_grid(shape, grid_axes(shape, options.to_hz, c, options.finer));
    matrices = cavity_matrices(grid);
    const auto nodes = nodes_for(shape.box, c, margin * options.to_hz);
    const FrontalPlan plan = frontal_plan(grid, matrices.pattern);
    std::vector<std::vector<Ritz>> found(nodes.size());
    in_parallel(nodes.size(), threads,
                [&](std::size_t i) { found[i] = shift_invert(matrices, plan, media, nodes[i], 1 + i); });
    reduce(found);
    std::vector<std::vector<Ritz>> refined(nodes.size());
    in_parallel(nodes.size(), threads, [&](std::size_t i) {
        for (Ritz& start : starts(found, nodes, i))
            if (refine(start))
                refined[i].push_back(std::move(start));
    });
    std::vector<Ritz> all;
    for (auto& some : refined)
        std::move(some.begin(), some.end(), std::back_inserter(all));
    keep_modes(std::move(all), options.to_hz);
}

void CavityModel::Solver::reduce(const std::vector<std::vector<Ritz>>& found) {
    basis = real_basis(found);
    reduced.terms.resize(matrices.terms.size());
    in_parallel(matrices.terms.size(), threads, [&](std::size_t t) {
        const Matrix applied = matrices.terms[t].matrix * basis;
        reduced.terms[t] = basis.transpose() * applied;
    });
    whole_mass = Matrix::Zero(basis.cols(), basis.cols());
    for (std::size_t t = 0; t < matrices.terms.size(); ++t)
        if (matrices.terms[t].kind == CavityTerm::Kind::mass)
            whole_mass += reduced.terms[t];
}

/// The linearised problem at one node, between its own eigenvectors and its neighbours': what was found there
/// from other beginnings tells equal frequencies apart.
std::vector<Ritz> CavityModel::Solver::starts(const std::vector<std::vector<Ritz>>& found,
                                              const std::vector<Complex>& nodes, std::size_t node) const {
    std::vector<const Ritz*> near;
    for (std::size_t i = node > 0 ? node - 1 : 0; i < std::min(nodes.size(), node + 2); ++i)
        for (const Ritz& ritz : found[i])
            near.push_back(&ritz);
    ComplexMatrix all(basis.cols(), static_cast<Index>(near.size()));
    for (std::size_t i = 0; i < near.size(); ++i)
        all.col(static_cast<Index>(i)) = basis.transpose() * near[i]->vector;
    Eigen::ColPivHouseholderQR<ComplexMatrix> qr(all);
    qr.setThreshold(1e-5);
    const Index rank = qr.rank();
    const ComplexMatrix space = qr.householderQ() * ComplexMatrix::Identity(all.rows(), rank);
    auto factors = coefficients(matrices.terms, nodes[node], media);
    for (Complex& slope : factors.slopes)
        slope /= 2.0 * nodes[node];
    const ComplexMatrix system = space.adjoint() * (reduced.sum(factors.values) * space);
    const ComplexMatrix derivative = space.adjoint() * (reduced.sum(factors.slopes) * space);
    const Eigen::ComplexEigenSolver<ComplexMatrix> eigen(system.partialPivLu().solve(derivative));
    std::vector<Ritz> result;
    for (Index i = 0; i < rank; ++i) {
        const Complex hz = std::sqrt(nodes[node] * nodes[node] - 1.0 / eigen.eigenvalues()(i));
        // Its own half of the way to each neighbour, and a little more: what is found twice is merged.
        const auto reach = [&](std::size_t other) { return (nodes[node].real() + nodes[other].real()) / 2; };
        const double from = node == 0 ? 1 : reach(node - 1) * 0.99;
        const double to = node + 1 == nodes.size() ? nodes[node].real() * 1.1 : reach(node + 1) * 1.01;
        if (hz.real() > from && hz.real() < to && std::abs(hz.imag()) < 0.5 * hz.real())
            result.push_back({hz, space * eigen.eigenvectors().col(i)});
    }
    return result;
}

/// Rayleigh quotient iteration with xᵀ A x: the left vector of a symmetric problem is xᵀ, not xᴴ.
bool CavityModel::Solver::refine(Ritz& mode) const {
    ComplexVector x = mode.vector.normalized();
    double change = 1;
    for (int step = 0; step < 12 && change > near_enough; ++step) {
        const auto factors = coefficients(matrices.terms, mode.hz, media);
        const ComplexVector right = reduced.sum(factors.slopes) * x;
        const ComplexVector next = reduced.sum(factors.values).partialPivLu().solve(right);
        // Newton's step with the vector so far, xᵀ A' x over xᵀ A' A⁻¹ A' x.
        const Complex step_hz = -((x.transpose() * right).value() / (right.transpose() * next).value());
        x = next.normalized();
        mode.hz += step_hz;
        change = std::abs(step_hz) / std::abs(mode.hz);
        if (!(mode.hz.real() > 0) || !std::isfinite(change))
            return false;
    }
    // The quotient is stationary: what is wrong by e in the vector is wrong by e² here.
    const auto factors = coefficients(matrices.terms, mode.hz, media);
    const Complex value = (x.transpose() * (reduced.sum(factors.values) * x)).value();
    const Complex slope = (x.transpose() * (reduced.sum(factors.slopes) * x)).value();
    mode.hz -= value / slope;
    mode.vector = x;
    return change <= near_enough && std::isfinite(mode.hz.imag());
}

void CavityModel::Solver::keep_modes(std::vector<Ritz> refined, double to_hz) {
    std::stable_sort(refined.begin(), refined.end(),
                     [](const Ritz& a, const Ritz& b) { return a.hz.real() < b.hz.real(); });
    constexpr double same = 1e-7;
    std::vector<ComplexVector> directions; // orthogonal among modes of one frequency
    for (const Ritz& mode : refined) {
        // Found twice: what is left of it beside the modes of the same frequency is small.
        ComplexVector rest = mode.vector;
        for (std::size_t i = modes.size(); i-- > 0 && modes[i].hz.real() > mode.hz.real() * (1 - same);)
            if (std::abs(modes[i].hz - mode.hz) < same * std::abs(mode.hz))
                rest -= directions[i] * directions[i].dot(rest);
        const bool known = rest.norm() < 0.3;
        // The pressure that is the same everywhere does not ring.
        if (known || mode.hz.imag() < -1e-7 * mode.hz.real() || mode.hz.real() > to_hz || mode.hz.real() < 2)
            continue;
        modes.push_back({mode.hz});
        vectors.push_back(mode.vector);
        directions.push_back(rest.normalized());
    }
    for (std::size_t i = 0; i < modes.size(); ++i)
        normalise(i);
}

void CavityModel::Solver::normalise(std::size_t mode) {
    const auto factors = coefficients(matrices.terms, modes[mode].hz, media);
    const ComplexVector slope = reduced.sum(factors.slopes) * vectors[mode];
    const Complex square = (vectors[mode].transpose() * slope).value() / (2 * pi);
    vectors[mode] *= std::sqrt(4 * pi / square);
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

int CavityModel::basis() const {
    return static_cast<int>(solver_->basis.cols());
}

Complex CavityModel::shift(std::size_t mode, const CavityMedia& changed) const {
    const Solver& s = *solver_;
    const auto now = coefficients(s.matrices.terms, s.modes[mode].hz, s.media);
    auto then = coefficients(s.matrices.terms, s.modes[mode].hz, changed);
    for (std::size_t t = 0; t < then.values.size(); ++t)
        then.values[t] -= now.values[t];
    const ComplexVector& x = s.vectors[mode];
    const Complex change = (x.transpose() * (s.reduced.sum(then.values) * x)).value();
    return -change / (4 * pi * 2 * pi); // xᵀ A' x = 4π by ω
}

std::vector<Complex> CavityModel::pressure(std::size_t mode, std::span<const Point> places) const {
    const Solver& s = *solver_;
    std::vector<Complex> result;
    for (const Point& place : places) {
        const std::size_t index = s.grid.cell_at(place);
        Complex sum = 0;
        if (index < s.grid.cells.size()) {
            const GridCell& cell = s.grid.cells[index];
            std::array<Vector, 3> along;
            for (std::size_t axis = 0; axis < 3; ++axis)
                along[axis] = lobatto_element(cell.orders[axis])
                                  .values_at(2 * (place[axis] - cell.from_m[axis]) / cell.size_m[axis] - 1);
            std::size_t node = 0;
            for (Index k = 0; k < along[2].size(); ++k)
                for (Index j = 0; j < along[1].size(); ++j)
                    for (Index i = 0; i < along[0].size(); ++i, ++node) {
                        const double weight = along[0](i) * along[1](j) * along[2](k);
                        const Complex value = (s.basis.row(cell.unknowns[node]) * s.vectors[mode]).value();
                        sum += weight * value;
                    }
        }
        result.push_back(sum);
    }
    return result;
}

std::vector<std::vector<double>> overlaps(const CavityModel& a, const CavityModel& b) {
    const CavityModel::Solver &one = *a.solver_, &other = *b.solver_;
    if (one.grid.unknowns != other.grid.unknowns)
        throw Error(ErrorKind::bug, "modes of different grids have no overlap");
    Eigen::SparseMatrix<double> mass(one.grid.unknowns, one.grid.unknowns);
    for (const CavityTerm& term : one.matrices.terms)
        if (term.kind == CavityTerm::Kind::mass)
            mass += term.matrix;
    const Matrix applied = mass * other.basis;
    const Matrix between = one.basis.transpose() * applied;
    std::vector<std::vector<double>> result;
    const auto norm = [](const CavityModel::Solver& s, std::size_t mode) {
        return std::abs((s.vectors[mode].adjoint() * (s.whole_mass * s.vectors[mode])).value());
    };
    for (std::size_t i = 0; i < one.modes.size(); ++i) {
        result.emplace_back();
        const Eigen::RowVectorXcd left = one.vectors[i].adjoint() * between;
        for (std::size_t k = 0; k < other.modes.size(); ++k)
            result.back().push_back(std::norm((left * other.vectors[k]).value()) /
                                    (norm(one, i) * norm(other, k)));
    }
    return result;
}

} // namespace ebbmark
