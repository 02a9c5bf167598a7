// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/dense.hpp"

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

MatrixXcd Factored::solve(const MatrixXcd& right) const {
    return factors_.solve(right);
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
    from.triangularView<Eigen::Lower>() -= a * b;
}

void add_lower_square(MatrixXcd& to, const MatrixXcd& a) {
    to.selfadjointView<Eigen::Lower>().rankUpdate(a);
}

} // namespace ebbmark
