// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/dense.hpp"

#include "algebra/wide_product.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <algorithm>

namespace ebbmark {

using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

Factored::Factored(const MatrixXcd& matrix) : factors_(matrix) {}

VectorXcd Factored::solve(const VectorXcd& right) const {
    return factors_.solve(right);
}

namespace {

/// Below this the library's own solution is as quick.
constexpr Eigen::Index few = 24;

/// L⁻¹ B or U⁻¹ B in place, half by half: what is solved first is taken from the rest as one product.
template <unsigned Triangle>
void solve_in_place(const Eigen::Ref<const MatrixXcd>& factor, Eigen::Ref<MatrixXcd> right) {
    const Eigen::Index size = factor.rows(), half = size / 2, rest = size - half;
    if (size <= few)
        return factor.triangularView<Triangle>().solveInPlace(right);
    const auto top = right.topRows(half), bottom = right.bottomRows(rest);
    if constexpr ((Triangle & Eigen::Lower) != 0) {
        solve_in_place<Triangle>(factor.topLeftCorner(half, half), right.topRows(half));
        subtract_product(right.bottomRows(rest), factor.bottomLeftCorner(rest, half), top);
        solve_in_place<Triangle>(factor.bottomRightCorner(rest, rest), right.bottomRows(rest));
    } else {
        solve_in_place<Triangle>(factor.bottomRightCorner(rest, rest), right.bottomRows(rest));
        subtract_product(right.topRows(half), factor.topRightCorner(half, rest), bottom);
        solve_in_place<Triangle>(factor.topLeftCorner(half, half), right.topRows(half));
    }
}

} // namespace

MatrixXcd Factored::solve(const MatrixXcd& right) const {
    MatrixXcd solution = factors_.permutationP() * right;
    solve_in_place<Eigen::UnitLower>(factors_.matrixLU(), solution);
    solve_in_place<Eigen::Upper>(factors_.matrixLU(), solution);
    return solution;
}

MatrixXd inverse_of(const MatrixXd& matrix) {
    return matrix.inverse();
}

ThinQr thin_qr(const MatrixXcd& matrix) {
    const Eigen::Index columns = std::min(matrix.rows(), matrix.cols());
    const Eigen::HouseholderQR<MatrixXcd> qr(matrix);
    return {qr.householderQ() * MatrixXcd::Identity(matrix.rows(), columns), qr.matrixQR().topRows(columns)};
}

MatrixXcd least_squares(const MatrixXcd& a, const MatrixXcd& b) {
    return a.householderQr().solve(b);
}

VectorXd symmetric_solved(const MatrixXd& matrix, const VectorXd& right) {
    return matrix.ldlt().solve(right);
}

MatrixXd symmetric_solved(const MatrixXd& matrix, const MatrixXd& right) {
    return matrix.ldlt().solve(right);
}

MatrixXcd positive_solved(const MatrixXcd& matrix, const MatrixXcd& right) {
    return matrix.llt().solve(right);
}

MatrixXcd lower_factor(const MatrixXcd& matrix) {
    return matrix.llt().matrixL();
}

MatrixXd orthonormal(const MatrixXd& columns) {
    const Eigen::LLT<MatrixXd> factor(columns.transpose() * columns);
    return factor.matrixU().solve<Eigen::OnTheRight>(columns);
}

MatrixXcd lower_solved(const MatrixXcd& lower, const MatrixXcd& right) {
    return lower.triangularView<Eigen::Lower>().solve(right);
}

MatrixXcd adjoint_lower_solved(const MatrixXcd& lower, const MatrixXcd& right) {
    return lower.adjoint().triangularView<Eigen::Upper>().solve(right);
}

MatrixXcd upper_solved(const MatrixXcd& upper, const MatrixXcd& right) {
    return upper.triangularView<Eigen::Upper>().solve(right);
}

MatrixXd product(const MatrixXd& a, const MatrixXd& b) {
    return a * b;
}

MatrixXcd product(const MatrixXcd& a, const MatrixXcd& b) {
    return a * b;
}

MatrixXd transposed_product(const MatrixXd& a, const MatrixXd& b) {
    return a.transpose() * b;
}

MatrixXcd adjoint_times(const MatrixXcd& a, const MatrixXcd& b) {
    return a.adjoint() * b;
}

MatrixXd symmetric_product(const MatrixXd& a, const MatrixXd& b) {
    MatrixXd made(a.rows(), a.rows());
    made.triangularView<Eigen::Lower>() = a * b.transpose();
    return made.selfadjointView<Eigen::Lower>();
}

void subtract_lower_product(MatrixXcd& from, const MatrixXcd& a, const MatrixXcd& b) {
    subtract_product(from, a, b, Entries::lower);
}

void add_lower_square(MatrixXcd& to, const MatrixXcd& a) {
    to.selfadjointView<Eigen::Lower>().rankUpdate(a);
}

} // namespace ebbmark
