// SPDX-License-Identifier: GPL-3.0-or-later
// Apart from the rest of dense.hpp because its templates take as long to compile as all others together.
#include "algebra/dense.hpp"

#include <Eigen/Eigenvalues>

namespace ebbmark {

using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;

ComplexEigen eigen_of(const MatrixXcd& matrix) {
    const Eigen::ComplexEigenSolver<MatrixXcd> solver(matrix);
    return {solver.eigenvalues(), solver.eigenvectors()};
}

VectorXcd eigenvalues_of(const MatrixXcd& matrix) {
    return Eigen::ComplexEigenSolver<MatrixXcd>(matrix, false).eigenvalues();
}

SymmetricEigen<MatrixXd> symmetric_eigen_of(const MatrixXd& matrix) {
    const Eigen::SelfAdjointEigenSolver<MatrixXd> solver(matrix);
    return {solver.eigenvalues(), solver.eigenvectors()};
}

SymmetricEigen<MatrixXcd> symmetric_eigen_of(const MatrixXcd& matrix) {
    const Eigen::SelfAdjointEigenSolver<MatrixXcd> solver(matrix);
    return {solver.eigenvalues(), solver.eigenvectors()};
}

SymmetricEigen<MatrixXd> symmetric_eigen_of(const MatrixXd& k, const MatrixXd& m) {
    const Eigen::GeneralizedSelfAdjointEigenSolver<MatrixXd> solver(k, m);
    return {solver.eigenvalues(), solver.eigenvectors()};
}

} // namespace ebbmark
