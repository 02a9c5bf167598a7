// SPDX-License-Identifier: GPL-3.0-or-later
// Factorisations of dense matrices, and the products that take long to compile, as plain functions: the
// library's templates for them are compiled here once. Sizes are not checked here but by the library's
// assertions; nothing throws.
#pragma once

#include <Eigen/Core>
#include <vector>

namespace ebbmark {

struct ComplexEigen {
    Eigen::VectorXcd values;
    Eigen::MatrixXcd vectors; ///< in columns, each of length 1
};
/// Of a square matrix, in no order.
ComplexEigen eigen_of(const Eigen::MatrixXcd& matrix);
Eigen::VectorXcd eigenvalues_of(const Eigen::MatrixXcd& matrix);

template <class Matrix>
struct SymmetricEigen {
    Eigen::VectorXd values; ///< ascending
    Matrix vectors;         ///< orthonormal columns
};
/// Of a symmetric or Hermitian matrix; only the lower triangle is read.
SymmetricEigen<Eigen::MatrixXd> symmetric_eigen_of(const Eigen::MatrixXd& matrix);
SymmetricEigen<Eigen::MatrixXcd> symmetric_eigen_of(const Eigen::MatrixXcd& matrix);
/// K x = λ M x with M positive definite; columns orthonormal in M.
SymmetricEigen<Eigen::MatrixXd> symmetric_eigen_of(const Eigen::MatrixXd& k, const Eigen::MatrixXd& m);

/// LU factors of a square matrix, to solve for several right sides.
class Factored {
  public:
    Factored() = default;
    explicit Factored(Eigen::MatrixXcd matrix);
    Eigen::VectorXcd solve(Eigen::VectorXcd right) const;
    Eigen::MatrixXcd solve(Eigen::MatrixXcd right) const;

  private:
    Eigen::MatrixXcd factors_;            ///< L below the diagonal, its own being 1, and U
    std::vector<Eigen::Index> exchanged_; ///< row k was exchanged with this one, in the order of k
};
Eigen::MatrixXd inverse_of(const Eigen::MatrixXd& matrix);

/// A = Q R with as many columns in Q as A has, at most as many as it has rows.
struct ThinQr {
    Eigen::MatrixXcd basis;
    Eigen::MatrixXcd triangle; ///< what lies below its diagonal has no meaning
};
ThinQr thin_qr(const Eigen::MatrixXcd& matrix);
/// x of least |A x − B|, column by column; A has full rank and at least as many rows as columns.
Eigen::MatrixXcd least_squares(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b);

/// A⁻¹ B of a symmetric matrix (LDLᵀ).
Eigen::VectorXd symmetric_solved(const Eigen::MatrixXd& matrix, const Eigen::VectorXd& right);
Eigen::MatrixXd symmetric_solved(const Eigen::MatrixXd& matrix, const Eigen::MatrixXd& right);
/// A⁻¹ B of a positive definite Hermitian matrix (LLᴴ).
Eigen::MatrixXcd positive_solved(const Eigen::MatrixXcd& matrix, const Eigen::MatrixXcd& right);
/// Makes L of a positive definite Hermitian matrix in its place, A = L Lᴴ; zero above the diagonal. Only the
/// lower triangle is read. False where rounding or the matrix itself leaves a square that is not positive: L
/// ends there.
bool make_lower_factor(Eigen::MatrixXcd& matrix);
/// The same columns' space with orthonormal columns: B U⁻¹ with Bᵀ B = Uᵀ U.
Eigen::MatrixXd orthonormal(const Eigen::MatrixXd& columns);
/// L⁻¹ B of a lower triangle, U⁻¹ B of an upper one, L⁻ᴴ B; the other triangle is not read.
Eigen::MatrixXcd lower_solved(const Eigen::MatrixXcd& lower, const Eigen::MatrixXcd& right);
Eigen::MatrixXcd upper_solved(const Eigen::MatrixXcd& upper, const Eigen::MatrixXcd& right);
Eigen::MatrixXcd adjoint_lower_solved(const Eigen::MatrixXcd& lower, const Eigen::MatrixXcd& right);

Eigen::MatrixXd product(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);
Eigen::MatrixXcd product(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b);
/// Aᵀ B and Aᴴ B.
Eigen::MatrixXd transposed_product(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);
Eigen::MatrixXcd adjoint_times(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b);
/// A Bᵀ where it is known to be symmetric: one triangle is computed.
Eigen::MatrixXd symmetric_product(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);
/// The lower triangle of `from` less that of A B.
void subtract_lower_product(Eigen::MatrixXcd& from, const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b);
/// The lower triangle of `to` plus that of A Aᴴ.
void add_lower_square(Eigen::MatrixXcd& to, const Eigen::MatrixXcd& a);

} // namespace ebbmark
