// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/dense.hpp"

#include "algebra/wide_product.hpp"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <Eigen/QR>
#include <algorithm>
#include <utility>

namespace ebbmark {

using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

namespace {

using Eigen::Index;

/// Below this the plain loops are as quick.
constexpr Index few = 24;

void subtract(Eigen::Ref<MatrixXcd> from, const Eigen::Ref<const MatrixXcd>& a,
              const Eigen::Ref<const MatrixXcd>& b) {
    subtract_product(from, a, b);
}
void subtract(Eigen::Ref<VectorXcd> from, const Eigen::Ref<const MatrixXcd>& a,
              const Eigen::Ref<const VectorXcd>& x) {
    subtract_applied(from, a, x);
}

/// L⁻¹ B or U⁻¹ B in place, half by half: what is solved first is taken from the rest as one product.
template <unsigned Triangle, class Right>
void solve_in_place(const Eigen::Ref<const MatrixXcd>& factor, Eigen::Ref<Right> right) {
    const Index size = factor.rows(), half = size / 2, rest = size - half;
    if (size <= few)
        return factor.triangularView<Triangle>().solveInPlace(right);
    if constexpr ((Triangle & Eigen::Lower) != 0) {
        solve_in_place<Triangle, Right>(factor.topLeftCorner(half, half), right.topRows(half));
        subtract(Eigen::Ref<Right>(right.bottomRows(rest)), factor.bottomLeftCorner(rest, half),
                 right.topRows(half));
        solve_in_place<Triangle, Right>(factor.bottomRightCorner(rest, rest), right.bottomRows(rest));
    } else {
        solve_in_place<Triangle, Right>(factor.bottomRightCorner(rest, rest), right.bottomRows(rest));
        subtract(Eigen::Ref<Right>(right.topRows(half)), factor.topRightCorner(half, rest),
                 right.bottomRows(rest));
        solve_in_place<Triangle, Right>(factor.topLeftCorner(half, half), right.topRows(half));
    }
}

/// LU with the largest of each column as pivot, of columns `from` to `to`; what lies right of them waits.
void factorise_columns(MatrixXcd& matrix, std::vector<Index>& exchanged, Index from, Index to) {
    const Index size = matrix.rows();
    for (Index k = from; k < to; ++k) {
        Index largest = 0;
        matrix.col(k).tail(size - k).cwiseAbs2().maxCoeff(&largest);
        exchanged.push_back(k + largest);
        matrix.row(k).swap(matrix.row(k + largest));
        matrix.col(k).tail(size - k - 1) /= matrix(k, k);
        for (Index column = k + 1; column < to; ++column)
            matrix.col(column).tail(size - k - 1) -= matrix(k, column) * matrix.col(k).tail(size - k - 1);
    }
}

template <class Right>
Right solved(const MatrixXcd& factors, const std::vector<Index>& exchanged, Right right) {
    for (std::size_t k = 0; k < exchanged.size(); ++k)
        right.row(static_cast<Index>(k)).swap(right.row(exchanged[k]));
    solve_in_place<Eigen::UnitLower, Right>(factors, right);
    solve_in_place<Eigen::Upper, Right>(factors, right);
    return right;
}

} // namespace

Factored::Factored(MatrixXcd matrix) : factors_(std::move(matrix)) {
    const Index size = factors_.rows();
    for (Index from = 0; from < size; from += few) {
        const Index to = std::min(size, from + few), rest = size - to;
        factorise_columns(factors_, exchanged_, from, to);
        if (rest == 0)
            break;
        auto right = factors_.block(from, to, to - from, rest);
        factors_.block(from, from, to - from, to - from)
            .triangularView<Eigen::UnitLower>()
            .solveInPlace(right);
        subtract_product(factors_.bottomRightCorner(rest, rest), factors_.block(to, from, rest, to - from),
                         right);
    }
}

VectorXcd Factored::solve(VectorXcd right) const {
    return solved(factors_, exchanged_, std::move(right));
}

MatrixXcd Factored::solve(MatrixXcd right) const {
    return solved(factors_, exchanged_, std::move(right));
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

bool make_lower_factor(MatrixXcd& matrix) {
    // Not the library's LLT, which first takes the matrix's norm, a root for each entry: as long again for
    // our sizes.
    const bool positive =
        Eigen::internal::llt_inplace<std::complex<double>, Eigen::Lower>::blocked(matrix) < 0;
    matrix.triangularView<Eigen::StrictlyUpper>().setZero();
    return positive;
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
